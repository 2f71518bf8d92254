import type { GolferChange } from '../../drill-trial-tables.ts';
import type { Check } from '../../finding.ts';
import type { MainAnalysis } from '../analysis/main-analysis.ts';
import type { Resolution } from '../analysis/smallest-change.ts';
import type { Design } from '../input/design.ts';
import type { TrialMetric, TrialRow } from '../input/trial-data.ts';
import {
  balanceAtBaseline,
  carriedBetweenPeriods,
  drillInControl,
  whatTheBaselineBought,
} from './group-checks.ts';
import { farGolfers, shapeOfChanges, spreadBySwings } from './spread-checks.ts';

export interface CheckRequest {
  readonly rows: readonly TrialRow[];
  readonly golfers: readonly GolferChange[];
  readonly design: Design;
  readonly main: MainAnalysis;
  readonly metric: TrialMetric;
  readonly resolution: Resolution;
  readonly level: number;
}

/** Whether what the model takes for granted is visible in the data, each in a sentence. */
export function checkAssumptions(request: CheckRequest): Check[] {
  return [
    spreadBySwings(request),
    farGolfers(request),
    shapeOfChanges(request),
    balanceAtBaseline(request),
    carriedBetweenPeriods(request),
    drillInControl(request),
    whatTheBaselineBought(request),
    boundaries(request),
    ...(request.main.anyDifference === null
      ? []
      : [
          {
            name: 'any difference among the arms',
            outcome: 'good' as const,
            words: `A test of all arms at once: ${request.main.anyDifference}. It does not decide; the intervals do.`,
          },
        ]),
  ].filter((check) => check !== null);
}

function boundaries({ main }: CheckRequest): Check {
  const name = 'fit at a boundary';
  if (main.objects.length === 0) return { name, outcome: 'not-possible', words: main.words };
  return main.boundary.length === 0
    ? {
        name,
        outcome: 'good',
        words: 'Every variance of the model is above zero and no correlation is at its limit.',
      }
    : {
        name,
        outcome: 'look',
        words: `${main.boundary.join(' ')} The data hold too little to size it; the estimate of the drill stands, and intervals of single golfers are rougher.`,
      };
}
