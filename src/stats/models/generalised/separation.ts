import { solveUpper } from '../../../numerics/index.ts';
import type { ModelProblem } from '../contract.ts';
import type { KeptData } from '../design/fixed-columns.ts';
import type { GeneralisedDesign } from './generalised-design.ts';

/** Changes of a row's predictor below this share of the largest are none. */
const STILL = 1e-6;

/**
 * For each row how far a step along `direction` (thresholds, then coefficients) carries its predictor towards what the
 * row observed, as a share of the largest such change; null when some row is carried away from it, so that its
 * likelihood would fall. With such a direction the likelihood has no maximum: the outcome is separated.
 * Source: Albert and Anderson (1984), Biometrika 71, 1-10; for counts Santos Silva and Tenreyro (2010), Econ Lett 107,
 * 310-312.
 */
export function towardsObserved(
  { rows, likelihood, x, observed, trials, fixedNames, model }: GeneralisedDesign,
  direction: Float64Array,
): Float64Array | null {
  const cuts = likelihood.thresholds?.count ?? 0;
  const towards = new Float64Array(rows);
  const against = new Float64Array(rows);
  let largest = 0;
  for (let i = 0; i < rows; i++) {
    let change = 0;
    for (let k = 0; k < fixedNames.length; k++) change += direction[cuts + k]! * x[k * rows + i]!;
    const y = observed[i]!;
    // Each row is one or two statements "the predictor lies above (below) ..."; a step may only confirm them.
    let first = 0;
    let second = 0;
    if (cuts > 0) {
      first = y < cuts ? direction[y]! - change : 0;
      second = y > 0 ? change - direction[y - 1]! : 0;
    } else if (model.distribution === 'count') {
      first = -change;
      second = y > 0 ? change : 0;
    } else {
      first = y > 0 ? change : 0;
      second = y < (trials ? trials[i]! : 1) ? -change : 0;
    }
    towards[i] = Math.max(first, second);
    against[i] = Math.min(first, second);
    largest = Math.max(largest, Math.abs(first), Math.abs(second));
  }
  if (!(largest > 0)) return null;
  for (let i = 0; i < rows; i++) {
    if (against[i]! < -STILL * largest) return null;
    towards[i] = towards[i]! > 1e3 * STILL * largest ? towards[i]! / largest : 0;
  }
  return towards.some((share) => share > 0) ? towards : null;
}

export const recedes = (design: GeneralisedDesign, direction: Float64Array): boolean =>
  towardsObserved(design, direction) !== null;

/** Says which columns or level separate the outcome, and in how many rows. */
export function separationProblem(
  design: GeneralisedDesign,
  kept: KeptData,
  direction: Float64Array,
): ModelProblem {
  const { rows, fixedNames, fixedEffects, upper, named, observed, model } = design;
  const p = fixedNames.length;
  const cuts = design.thresholdNames.length;
  const coefficients = direction.slice(cuts);
  solveUpper(upper, p, coefficients);
  const reach = coefficients.map((c, k) => {
    let largest = 0;
    for (let i = 0; i < rows; i++) largest = Math.max(largest, Math.abs(named[k * rows + i]!));
    return Math.abs(c) * largest;
  });
  const greatest = Math.max(...reach);
  const involved = fixedNames.filter((name, k) => name !== 'intercept' && reach[k]! > 1e-5 * greatest);
  const towards = towardsObserved(design, direction)!;
  const moved: number[] = [];
  for (let i = 0; i < rows; i++) if (towards[i]! > 0) moved.push(i);
  const culprit = levelOf(design, kept, moved) ?? (involved.length > 0 ? involved.join(', ') : 'intercept');
  const effect = fixedEffects.find(({ columns }) =>
    columns.some(({ index }) => involved.includes(fixedNames[index]!)),
  );
  const values = new Set(moved.map((i) => (design.trials ? observed[i]! > 0 : observed[i]!)));
  const always =
    values.size !== 1
      ? ''
      : design.trials
        ? `: ${values.has(true) ? 'every trial succeeded' : 'no trial succeeded'}`
        : `: it is always ${kept.numbers(model.outcome)[moved[0]!]}`;
  return {
    kind: 'separation',
    where: effect?.where ?? '/fixed',
    found: `${culprit}, which tells ${model.outcome} without fail in ${moved.length === rows ? 'every row' : `${moved.length} of ${rows} rows`}${always}`,
    expected:
      'an outcome that varies whatever the explaining columns say; otherwise the estimate is infinite',
    remedy:
      'Merge the level with another, take the column out, or report the counts as they stand: no finite estimate exists.',
  };
}

/** `factor=level` where all the rows moved, and no others, have one level of a factor in common. */
function levelOf(
  { fixedEffects, rows }: GeneralisedDesign,
  kept: KeptData,
  moved: readonly number[],
): string | null {
  if (moved.length === rows) return null;
  for (const { variables } of fixedEffects)
    for (const { name, kind } of variables) {
      if (kind !== 'factor') continue;
      const texts = kept.texts(name);
      const level = texts[moved[0]!]!;
      if (
        moved.every((i) => texts[i] === level) &&
        texts.filter((text) => text === level).length === moved.length
      )
        return `${name}=${level}`;
    }
  return null;
}
