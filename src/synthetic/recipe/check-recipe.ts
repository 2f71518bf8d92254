import { blockProblems } from './block-problems.ts';
import { designProblems } from './design-problems.ts';
import { metricProblems } from './metric-problems.ts';
import { movementProblems } from './movement-problems.ts';
import type { Recipe } from './recipe.ts';
import type { CheckedRecipe, RecipeProblem } from './recipe-problem.ts';
import { schemaProblems } from './schema-problems.ts';
import { sourceProblems } from './source-problems.ts';

/**
 * Whether an object is a recipe that can be generated, with all its faults at once: first the shape (schema),
 * then, once the shape is right, what the numbers mean together.
 *
 * @example checkRecipe({ invented: true }).valid // false; `problems` lists each missing key with its path
 */
export function checkRecipe(candidate: unknown): CheckedRecipe {
  const shape = schemaProblems(candidate);
  if (shape.length > 0) return { valid: false, problems: shape };
  const recipe = candidate as Recipe;
  const problems = [
    ...sourceProblems(recipe),
    ...rangeProblems(recipe),
    ...metricProblems(recipe),
    ...designProblems(recipe),
    ...blockProblems(recipe),
    ...movementProblems(recipe),
  ];
  return problems.length > 0 ? { valid: false, problems } : { valid: true, recipe };
}

function rangeProblems(recipe: Recipe): RecipeProblem[] {
  const { roster, practiceLog, session } = recipe;
  const problems: RecipeProblem[] = [];
  const ordered = (where: string, low: number, high: number) => {
    if (low > high)
      problems.push({
        where,
        found: `from ${low} to ${high}`,
        expected: 'the smaller number first',
        remedy: 'Exchange the two.',
      });
  };
  ordered('/session/speedIntentPct', session.speedIntentPct.from, session.speedIntentPct.to);
  ordered('/practiceLog/reps', practiceLog.reps.from, practiceLog.reps.to);
  ordered('/practiceLog/distanceM', practiceLog.distanceM.from, practiceLog.distanceM.to);
  if (roster.handicap.lowest >= roster.handicap.highest)
    problems.push({
      where: '/roster/handicap/lowest',
      found: String(roster.handicap.lowest),
      expected: `a number below highest, ${roster.handicap.highest}`,
      remedy: 'Exchange the two, or widen the range.',
    });
  if (roster.skilledHandicap >= roster.lessSkilledHandicap)
    problems.push({
      where: '/roster/skilledHandicap',
      found: String(roster.skilledHandicap),
      expected: `a number below lessSkilledHandicap, ${roster.lessSkilledHandicap}`,
      remedy: 'A lower handicap is more skilled: exchange the two.',
    });
  const { mean, halfWidth } = practiceLog.adherence;
  if (mean - halfWidth < -1e-12 || mean + halfWidth > 1 + 1e-12)
    problems.push({
      where: '/practiceLog/adherence',
      found: `shares from ${mean - halfWidth} to ${mean + halfWidth}`,
      expected: 'shares from 0 to 1',
      remedy: 'Make halfWidth smaller.',
    });
  return problems;
}
