import type { FindingEstimate } from '../../finding.ts';
import { figure, percent, unitWords } from '../../shared/words.ts';
import type { CarryOver } from '../analysis/carry-over.ts';
import type { Dose } from '../analysis/dose.ts';
import { type Effect, NO_EFFECT } from '../analysis/effect.ts';
import type { Share } from '../analysis/follow-up.ts';
import { controlWords } from './arm-words.ts';
import { estimate, inWords, type Setting } from './estimate.ts';

/** Did it last: the effect at retention and the share kept. */
export function retentionEstimates(
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

/** Did it carry over: the effect at drill speed, what full swings lose of it, and the share that arrives. */
export function carryOverEstimates(
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

/** Did more practice go with more change. */
export function doseEstimate(setting: Setting, dose: Dose): FindingEstimate {
  const { metric } = setting;
  return estimate(
    setting,
    'dose',
    'slope on practice, per 100 repetitions, golfers who did the drill',
    dose.per100,
    `Among ${dose.golfers} golfers who did the drill, 100 repetitions more go with ${metric.label} ${inWords(setting, dose.per100)} after it, golfers who started alike compared. Nobody was told by chance how much to practise, so this is not the effect of practising more.`,
    `${unitWords(metric.unit)} per 100 repetitions`.trim(),
  );
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
