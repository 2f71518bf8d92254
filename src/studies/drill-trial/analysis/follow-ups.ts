import type { GolferChange } from '../../drill-trial-tables.ts';
import type { SmallestChange } from '../../finding.ts';
import type { Resolution } from '../../shared/smallest-change.ts';
import { comparedArms } from '../input/design.ts';
import type { SwingGroup, TrialData } from '../input/trial-data.ts';
import { analyseCarryOver, type CarryOver } from './carry-over.ts';
import { analyseDose, type Dose } from './dose.ts';
import type { Effect } from './effect.ts';
import { type IndividualResponses, individualResponses } from './individual.ts';
import type { MainRequest } from './main-analysis.ts';
import { meanEffect } from './main-golfer-means.ts';
import type { Noise } from './noise.ts';
import { analyseRegression, type Regression } from './regression.ts';
import { analyseRetention, type Retention } from './retention.ts';

/** Everything that was asked besides the main question; text where it could not be answered. */
export interface FollowUps {
  readonly changes: ReadonlyMap<string, Effect>;
  readonly retention: Retention | string;
  readonly carryOver: CarryOver | string;
  readonly dose: Dose | string;
  readonly responses: ReadonlyMap<string, IndividualResponses | string>;
  readonly regression: Regression | string;
  readonly golfers: readonly GolferChange[];
  readonly smallest: SmallestChange | null;
}

/** What the main question has brought to light, which the others build on. */
export interface KnownSoFar {
  readonly data: TrialData;
  readonly rows: readonly SwingGroup[];
  readonly request: MainRequest;
  readonly golfers: readonly GolferChange[];
  readonly noise: Noise;
  readonly resolution: Resolution;
  readonly smallest: SmallestChange | null;
}

/** The questions besides the main one, each answered or with the reason why not. */
export function followUps(known: KnownSoFar): FollowUps {
  const { data, rows, request, golfers, noise, resolution, smallest } = known;
  const { design, level } = request;
  const arms = [...design.drills, ...(design.control === null ? [] : [design.control])];
  const changes = (arm: string) =>
    golfers.filter((golfer) => golfer.arm === arm && golfer.change !== null).map((golfer) => golfer.change!);
  const responses = comparedArms(design).map(
    (arm) =>
      [
        arm,
        design.kind === 'parallel'
          ? individualResponses(golfers, arm, design.control!, noise, level)
          : 'How much golfers differ in their response can be told from how much their changes vary anyway only with a control group beside them.',
      ] as const,
  );
  return {
    changes: new Map(arms.map((arm) => [arm, meanEffect(changes(arm), level)])),
    retention: analyseRetention(rows, request),
    carryOver: analyseCarryOver(rows, request),
    dose:
      design.kind === 'crossover'
        ? 'In a crossover every golfer practises under both arms; a slope on practice was not fitted.'
        : analyseDose(golfers, level),
    responses: new Map(responses),
    regression:
      design.kind === 'crossover'
        ? 'In a crossover golfers are compared with themselves after each arm, so that regression to the mean falls on both alike.'
        : analyseRegression(data, rows, design, resolution),
    golfers,
    smallest,
  };
}
