import type { GolferChange } from '../drill-trial-tables.ts';
import type { FindingEstimate, SmallestChange } from '../finding.ts';
import type { CarryOver } from './carry-over.ts';
import { comparedArms, type Design } from './design.ts';
import type { Dose } from './dose.ts';
import { type Effect, NO_EFFECT } from './effect.ts';
import type { Share } from './follow-up.ts';
import type { IndividualResponses } from './individual.ts';
import type { MainAnalysis } from './main-analysis.ts';
import type { Regression } from './regression.ts';
import type { Retention } from './retention.ts';
import type { TrialMetric } from './trial-data.ts';
import {
  amount,
  capitalised,
  controlWords,
  decimalsToShow,
  difference,
  directionWords,
  drillWords,
  figure,
  intervalOfDifference,
  list,
  percent,
} from './words.ts';

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

interface Setting {
  readonly design: Design;
  readonly metric: TrialMetric;
  readonly level: number;
}

/** The estimates of the finding, the one that answers the question first; each with its meaning in a sentence. */
export function listEstimates(setting: Setting, main: MainAnalysis, more: FollowUps): FindingEstimate[] {
  const { design } = setting;
  const arms = comparedArms(design);
  const all = [...design.drills, ...(design.control === null ? [] : [design.control])];
  return [
    ...arms.map((arm) => mainEstimate(setting, arm, main.effects.get(arm) ?? NO_EFFECT)),
    ...(design.kind === 'parallel' ? all.map((arm) => changeEstimate(setting, arm, more)) : []),
    ...(typeof more.retention === 'string'
      ? []
      : [...more.retention.byArm].flatMap(([arm, kept]) => retentionEstimates(setting, arm, kept))),
    ...(typeof more.carryOver === 'string'
      ? []
      : [...more.carryOver.byArm].flatMap(([arm, carried]) => carryOverEstimates(setting, arm, carried))),
    ...(typeof more.dose === 'string' ? [] : [doseEstimate(setting, more.dose)]),
    ...[...more.responses].flatMap(([arm, responses]) =>
      typeof responses === 'string' ? [] : [responseEstimate(setting, arm, responses)],
    ),
    ...shareOfGolfers(setting, more),
    ...(typeof more.regression === 'string' ? [] : regressionEstimates(setting, more.regression)),
  ];
}

function estimate(
  { metric, level }: Setting,
  key: string,
  name: string,
  effect: Effect,
  meaning: string,
  unit: string = metric.unit,
): FindingEstimate {
  return {
    key,
    name,
    value: effect.value,
    interval: effect.interval ?? [null, null],
    level,
    unit,
    degreesOfFreedom: effect.degreesOfFreedom,
    meaning,
  };
}

function mainEstimate(setting: Setting, arm: string, effect: Effect): FindingEstimate {
  const { design, metric } = setting;
  const drill = drillWords(arm, design.drills);
  const control = design.control === null ? '' : controlWords(design.control);
  const more = directionWords(metric.column, 1);
  switch (design.kind) {
    case 'parallel':
      return estimate(
        setting,
        'effect',
        design.drills.length < 2
          ? 'drill effect at post, full swings'
          : `effect of '${arm}' at post, full swings`,
        effect,
        `How much ${more} ${metric.label} is after ${drill} than after ${control}, in golfers who started alike; below zero is ${directionWords(metric.column, -1)}.`,
      );
    case 'crossover':
      return estimate(
        setting,
        'effect',
        'drill minus control, full swings',
        effect,
        `How much ${more} ${metric.label} is after ${drill} than after ${control} in the same golfers, a shift between the periods taken out.`,
      );
    case 'stepped-start':
      return estimate(
        setting,
        'effect',
        'effect of having started the drill, full swings',
        effect,
        `How much ${more} ${metric.label} is once a golfer has started than before, what changed for everybody over the calendar taken out.`,
      );
    case 'before-after':
      return estimate(
        setting,
        'effect',
        design.drills.length < 2
          ? 'change from before to after, full swings'
          : `change from before to after in '${arm}', full swings`,
        effect,
        `How much ${more} ${metric.label} is after the drill than before. Without a control it contains practice, time and regression to the mean besides any effect of the drill.`,
      );
  }
}

function changeEstimate(setting: Setting, arm: string, more: FollowUps): FindingEstimate {
  const control = arm === setting.design.control;
  return estimate(
    setting,
    control ? 'change-control' : 'change-drill',
    `change from before to after in '${arm}', full swings`,
    more.changes.get(arm) ?? NO_EFFECT,
    control
      ? 'The mean change of golfers without the drill: practice, time and regression to the mean.'
      : 'The mean change of golfers who did the drill, not compared with anything: practice, time and regression to the mean are in it.',
  );
}

function retentionEstimates(
  setting: Setting,
  arm: string,
  { effect, kept }: { readonly effect: Effect; readonly kept: Share | null },
): FindingEstimate[] {
  const { design, metric } = setting;
  const what = design.control === null ? 'change' : 'drill effect';
  const of = design.drills.length < 2 ? '' : ` of '${arm}'`;
  const against = design.control === null ? 'than at baseline' : `than with ${controlWords(design.control)}`;
  return [
    estimate(
      setting,
      'retention',
      `${what}${of} at retention, full swings`,
      effect,
      `At retention ${metric.label} was ${inWords(setting, effect)} ${against}.`,
    ),
    estimate(
      setting,
      'retention-share',
      `share of the ${what}${of} kept at retention`,
      shareEffect(kept),
      kept === null
        ? `A share kept is not given: the ${what} at post cannot be told from zero well enough to take a share of it.`
        : `About ${shareWords(setting, kept)} of the ${what} at post was still there at retention; above 100% it grew.`,
      '%',
    ),
  ];
}

function carryOverEstimates(
  setting: Setting,
  arm: string,
  part: CarryOver['byArm'] extends ReadonlyMap<string, infer Part> ? Part : never,
): FindingEstimate[] {
  const { design, metric } = setting;
  const of = design.drills.length < 2 ? '' : ` of '${arm}'`;
  const control = controlWords(design.control!);
  const { atDrillSpeed, full, lost, carried } = part;
  return [
    estimate(
      setting,
      'drill-speed',
      `drill effect${of} at post, swings at drill speed`,
      atDrillSpeed,
      `At drill speed ${metric.label} was ${inWords(setting, atDrillSpeed)} than with ${control}; in full swings, in the same model, ${inWords(setting, full)}.`,
    ),
    estimate(
      setting,
      'carry-over-loss',
      `drill effect${of} at drill speed minus that in full swings`,
      lost,
      'What is seen at drill speed and not in full swings; below zero, full swings changed more.',
    ),
    estimate(
      setting,
      'carry-over-share',
      `share of the drill effect${of} carried over to full swings`,
      shareEffect(carried),
      carried === null
        ? 'A share carried over is not given: the effect at drill speed cannot be told from zero well enough to take a share of it.'
        : `About ${shareWords(setting, carried)} of the effect at drill speed carried over to full swings.`,
      '%',
    ),
  ];
}

function doseEstimate(setting: Setting, dose: Dose): FindingEstimate {
  const { metric } = setting;
  return estimate(
    setting,
    'dose',
    'slope on practice, per 100 repetitions, golfers who did the drill',
    dose.per100,
    `Among ${dose.golfers} golfers who did the drill, 100 repetitions more go with ${metric.label} ${inWords(setting, dose.per100)} after it, golfers who started alike compared. Nobody was told by chance how much to practise, so this is not the effect of practising more.`,
    `${metric.unit} per 100 repetitions`,
  );
}

function responseEstimate(setting: Setting, arm: string, responses: IndividualResponses): FindingEstimate {
  const { metric, design } = setting;
  const { spread, sdDrill, sdControl, noiseTaken } = responses;
  const show = (value: number) => amount(value, metric.unit, metric.decimals);
  const [low, high] = spread.interval;
  const reading =
    low > 0
      ? 'Golfers respond differently to the drill.'
      : high < 0
        ? 'Changes vary less with the drill than without it.'
        : 'Whether golfers respond differently cannot be told.';
  return estimate(
    setting,
    'individual-responses',
    `SD of true individual responses${design.drills.length < 2 ? '' : ` to '${arm}'`}`,
    { value: spread.sd, interval: spread.interval, standardError: null, degreesOfFreedom: null },
    `${reading} Golfers' changes have an SD of ${show(sdDrill)} with the drill and ${show(sdControl)} without; this is what the first has beyond the second${noiseTaken ? ", the noise of each golfer's two means taken out of both" : ', noise being taken as alike in both'}. Below zero means that changes varied more without the drill.`,
  );
}

/** For whom: the golfers' own chances of a change that matters, added up. */
function shareOfGolfers({ design, metric }: Setting, more: FollowUps): FindingEstimate[] {
  const { smallest } = more;
  const known = (role: 'drill' | 'control') =>
    more.golfers.filter((golfer) => golfer.chanceMeaningful !== null && golfer.role === role);
  const done =
    design.kind === 'crossover' ? more.golfers.filter((g) => g.chanceMeaningful !== null) : known('drill');
  if (smallest === null || done.length === 0) return [];
  const mean = (golfers: readonly GolferChange[]) =>
    golfers.reduce((sum, golfer) => sum + golfer.chanceMeaningful!, 0) / golfers.length;
  const idle = design.kind === 'parallel' ? known('control') : [];
  const named = (golfers: readonly GolferChange[]) =>
    golfers.length === 0 ? 'none' : list(golfers.map((golfer) => golfer.golfer));
  const way = smallest.goodDirection === 0 ? 'in either direction' : 'in the good direction';
  const what = design.kind === 'crossover' ? 'a difference between drill and control' : 'a change';
  const size = amount(smallest.value, metric.unit, metric.decimals);
  return [
    {
      key: 'share-of-golfers',
      name: `golfers with ${what} that matters, by their own chances`,
      value: 100 * mean(done),
      interval: [null, null],
      level: 0.95,
      unit: '%',
      degreesOfFreedom: null,
      meaning: `About ${percent(mean(done))} of the ${done.length} golfers who did the drill have ${what} of at least ${size} ${way}${
        idle.length === 0 ? '' : `; without it ${percent(mean(idle))} of ${idle.length} do`
      }. Chance above 90%: ${named(done.filter((golfer) => golfer.chanceMeaningful! > 0.9))}. Chance below 10%: ${named(
        done.filter((golfer) => golfer.chanceMeaningful! < 0.1),
      )}.`,
    },
  ];
}

function regressionEstimates(setting: Setting, regression: Regression): FindingEstimate[] {
  const { metric, design } = setting;
  return regression.arms.map(({ arm, baselineMean, expectedShift }) => {
    const off = baselineMean - regression.rosterMean;
    const decimals = metric.decimals + 1;
    const roster = regression.rosterIsLarger ? 'the roster' : 'all golfers of the trial';
    return estimate(
      setting,
      arm === design.control ? 'regression-control' : 'regression-drill',
      `expected regression to the mean in '${arm}'`,
      { ...NO_EFFECT, value: expectedShift },
      `'${arm}' started ${amount(Math.abs(off), metric.unit, decimals)} ${off >= 0 ? 'above' : 'below'} ${roster} (${regression.rosterGolfers} golfers); ${percent(1 - regression.reliability)} of the spread at baseline is noise, so up to ${figure(expectedShift, decimals)} ${metric.unit} of a change comes by itself.`,
    );
  });
}

function shareEffect(share: Share | null): Effect {
  return share === null
    ? NO_EFFECT
    : {
        value: share.percent,
        interval: share.interval,
        standardError: null,
        degreesOfFreedom: share.degreesOfFreedom,
      };
}

function shareWords({ level }: Setting, share: Share): string {
  const range =
    share.interval === null
      ? ''
      : ` (${percent(level, 1)} interval ${figure(share.interval[0], 0)}% to ${figure(share.interval[1], 0)}%)`;
  return `${figure(share.percent, 0)}%${range}`;
}

/** `2.1 deg higher (95% interval 1.2 to 3.0 deg higher)`. */
export function inWords({ metric, level }: Setting, effect: Effect): string {
  if (effect.value === null) return 'not known how much different';
  const decimals = decimalsToShow(effect.interval, null, metric.decimals);
  const shown = { column: metric.column, unit: metric.unit, decimals, level };
  const range = effect.interval === null ? '' : ` (${intervalOfDifference(effect.interval, shown)})`;
  return `${difference(effect.value, shown)}${range}`;
}

/** The questions that could not be answered, and why, for the list of checks. */
export function unanswered(more: FollowUps): { readonly name: string; readonly why: string }[] {
  return [
    { name: 'retention', why: more.retention },
    { name: 'carry-over from drill speed', why: more.carryOver },
    { name: 'dose', why: more.dose },
    { name: 'regression to the mean', why: more.regression },
    ...[...more.responses.values()].map((why) => ({ name: 'individual responses', why })),
  ].flatMap(({ name, why }) => (typeof why === 'string' ? [{ name, why: capitalised(why) }] : []));
}
