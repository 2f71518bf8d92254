import type { Plan } from '../../dataset/index.ts';
import type { FlowRow, GolferChange } from '../drill-trial-tables.ts';
import type { SmallestChange, Verdict } from '../finding.ts';
import { analyseCarryOver } from './carry-over.ts';
import type { SmallSample } from './cell-model.ts';
import { comparedArms, type Design } from './design.ts';
import { analyseDose } from './dose.ts';
import { analyseDropouts, type Dropouts } from './dropouts.ts';
import { type Effect, NO_EFFECT } from './effect.ts';
import type { FollowUps } from './estimates.ts';
import { flowTable, golferTable } from './golfer-table.ts';
import { individualResponses } from './individual.ts';
import { analyseMain, type MainAnalysis, type MainRequest } from './main-analysis.ts';
import { meanEffect } from './main-groups.ts';
import { analyseRegression } from './regression.ts';
import { analyseRetention } from './retention.ts';
import { measureResolution, type Resolution, smallestChange } from './smallest-change.ts';
import type { TrialData, TrialRow } from './trial-data.ts';
import { verdictOf } from './verdict.ts';

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

export function ask(data: TrialData, design: Design, rows: readonly TrialRow[], plan: Plan | null): Answers {
  const level = plan?.level ?? 0.95;
  const degreesOfFreedom: SmallSample = plan?.model?.degreesOfFreedom ?? 'kenward-roger';
  const request: MainRequest = { design, outcome: data.metric.column, level, degreesOfFreedom };
  const main = analyseMain(rows, request);
  const arm = comparedArms(design)[0]!;
  const effect = main.effects.get(arm) ?? NO_EFFECT;
  const resolution = measureResolution(rows, design, main.noise);
  const planned =
    plan !== null && plan.metric.column === data.metric.column
      ? (plan.smallestChangeThatMatters?.value ?? null)
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
    more: followUps(data, rows, request, main, golfers, resolution, smallest),
  };
}

function followUps(
  data: TrialData,
  rows: readonly TrialRow[],
  request: MainRequest,
  main: MainAnalysis,
  golfers: readonly GolferChange[],
  resolution: Resolution,
  smallest: SmallestChange | null,
): FollowUps {
  const { design, level } = request;
  const arms = [...design.drills, ...(design.control === null ? [] : [design.control])];
  const changes = (arm: string) =>
    golfers.filter((golfer) => golfer.arm === arm && golfer.change !== null).map((golfer) => golfer.change!);
  const responses = comparedArms(design).map(
    (arm) =>
      [
        arm,
        design.kind === 'parallel'
          ? individualResponses(golfers, arm, design.control!, main.noise, level)
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
