import type { Plan } from '../../../dataset/index.ts';
import type { FlowRow, GolferChange } from '../../drill-trial-tables.ts';
import type { SmallestChange, Verdict } from '../../finding.ts';
import { type Resolution, smallestChange } from '../../shared/smallest-change.ts';
import { verdictOf } from '../../shared/standing.ts';
import { comparedArms, type Design } from '../input/design.ts';
import type { SwingGroup, TrialData } from '../input/trial-data.ts';
import type { SmallSample } from './cell-model.ts';
import { analyseDropouts, type Dropouts } from './dropouts.ts';
import { type Effect, NO_EFFECT } from './effect.ts';
import { type FollowUps, followUps } from './follow-ups.ts';
import { flowTable, golferTable } from './golfer-table.ts';
import { analyseMain, comparedRows, type MainAnalysis, type MainRequest } from './main-analysis.ts';
import { noiseWithinGolfers } from './noise.ts';
import { measureResolution } from './resolution.ts';

/** Every question of the study, answered in numbers; nothing is in words yet except why one has no answer. */
export interface Answers {
  readonly request: MainRequest;
  readonly main: MainAnalysis;
  /** The arm that answers the question, and its effect. */
  readonly arm: string;
  readonly effect: Effect;
  readonly verdict: Verdict;
  readonly resolution: Resolution;
  readonly smallest: SmallestChange | null;
  readonly smallestCautions: readonly string[];
  readonly golfers: readonly GolferChange[];
  readonly flow: readonly FlowRow[];
  readonly dropouts: Dropouts;
  readonly more: FollowUps;
}

/** Answers every question of the study in numbers, the main one first. */
export function ask(
  data: TrialData,
  design: Design,
  rows: readonly SwingGroup[],
  plan: Plan | null,
  covariates: readonly string[] = [],
): Answers {
  const level = plan?.level ?? 0.95;
  const degreesOfFreedom: SmallSample = plan?.model?.degreesOfFreedom ?? 'kenward-roger';
  const request: MainRequest = { design, outcome: data.metric.column, level, degreesOfFreedom, covariates };
  const main = analyseMain(rows, request);
  const arm = comparedArms(design)[0]!;
  const effect = main.effects.get(arm) ?? NO_EFFECT;
  const noise = noiseWithinGolfers(comparedRows(rows, design));
  const resolution = measureResolution(rows, design, noise);
  const planned =
    plan !== null && plan.metric.column === data.metric.column
      ? (plan.smallestChangeThatMatters ?? null)
      : null;
  const { smallest, cautions: smallestCautions } = smallestChange(data.metric, planned, resolution);
  const golfers = golferTable(data, rows, design, main, smallest);
  const flow = flowTable(rows, design);
  return {
    request,
    main,
    arm,
    effect,
    verdict: smallest === null ? 'cannot-tell' : verdictOf(effect.interval, smallest),
    resolution,
    smallest,
    smallestCautions,
    golfers,
    flow,
    dropouts: analyseDropouts(golfers, flow, arm, design, effect, smallest, level),
    more: followUps({ data, rows, request, golfers, noise, resolution, smallest }),
  };
}
