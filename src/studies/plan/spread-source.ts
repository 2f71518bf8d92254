import { componentColumns, trialComponents } from '../../synthetic/index.ts';
import type { StudyMetric } from '../shared/study-metric.ts';
import type { StudyProblem } from '../study.ts';
import { pilotSpread } from './pilot.ts';
import type { PlanInput } from './plan-input.ts';
import { problem } from './plan-problem.ts';
import type { Spread } from './planned-design.ts';

interface SpreadSource {
  readonly spread: Spread;
  readonly effect: number | null;
  readonly swings: number;
  readonly controlShare: number;
  readonly leaving: number;
  readonly words: string;
  readonly cautions: readonly string[];
}

export function sourceOf(
  { recipe, dataset, plan, changeSd }: PlanInput,
  metric: StudyMetric,
): SpreadSource | { readonly problems: readonly StudyProblem[] } {
  if ((recipe === undefined) === (dataset === undefined))
    return {
      problems: [
        problem(
          '--recipe, --data',
          recipe === undefined ? 'neither' : 'both',
          'one of the two, from which it is known how values spread',
          'Give a recipe (such as drill-parallel-effect) or a dataset with swings like those planned.',
        ),
      ],
    };
  if (dataset !== undefined) {
    const pilot = pilotSpread(dataset, metric.column, plan ?? null);
    if ('problems' in pilot) return pilot;
    return {
      spread: { ...pilot.spread, changeSd: changeSd ?? pilot.spread.changeSd },
      effect: null,
      swings: 10,
      controlShare: 0.5,
      leaving: 0,
      words: pilot.words,
      cautions: pilot.cautions,
    };
  }
  const made = trialComponents(recipe!, metric.column);
  if (made === null)
    return {
      problems: [
        problem(
          'the metric',
          `${metric.column}, whose values in a recipe are not a sum of normal parts`,
          `one of: ${componentColumns(recipe!).join(', ')}`,
          'Name one of these with --metric, or plan from data with --data.',
        ),
      ],
    };
  const { effect, ...spread } = made;
  const { design, dropout, missing, session, name } = recipe!;
  return {
    spread: { ...spread, changeSd: changeSd ?? spread.changeSd },
    effect,
    swings: session.fullSwings,
    controlShare: design.kind === 'parallel' ? design.controlShare : 0.5,
    // Who stays may still miss the last visit.
    leaving: 1 - (1 - dropout.share) * (1 - missing.visitShare),
    words: `SDs from the recipe ${name}, whose numbers are invented.`,
    cautions: [
      'The recipe is invented: how golfers differ, change and vary is assumed in it and not measured. Before a study of your own, measure some of your golfers twice and plan from those data (--data).',
    ],
  };
}
