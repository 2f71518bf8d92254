import type { Plan } from '../../dataset/index.ts';
import type { SmallestChange } from '../finding.ts';
import type { StudyMetric } from './study-metric.ts';
import { amount } from './words.ts';

/** How noisy a golfer's mean in one phase is, and how much golfers truly differ at baseline. */
export interface Resolution {
  /** SD of a golfer's phase mean around the golfer's own level; null where nothing tells. */
  readonly typicalError: number | null;
  /** How it was got, in words. */
  readonly from: string;
  /** SD between golfers of an arm at baseline (after the drill where none was measured), noise taken out. */
  readonly betweenSd: number | null;
  readonly atBaseline: boolean;
}

/**
 * The smallest change that matters: the plan's, or by default the larger of 0.2 x the SD between golfers (noise
 * taken out; Hopkins 2004, Sportscience 8:1-7) and the typical error of a golfer's phase mean, since less than that
 * cannot be seen in a golfer. Null where neither is known.
 */
export function smallestChange(
  metric: StudyMetric,
  planned: Plan['smallestChangeThatMatters'] | null,
  resolution: Resolution,
): { readonly smallest: SmallestChange | null; readonly cautions: readonly string[] } {
  const { unit, goodDirection } = metric;
  const { typicalError, betweenSd, atBaseline } = resolution;
  const show = (value: number) => amount(value, unit, metric.decimals);
  if (planned !== null && planned !== undefined) {
    const cautions =
      typicalError !== null && planned.value < typicalError
        ? [
            `The plan's smallest change that matters, ${show(planned.value)}, is less than what the measurement resolves in one golfer: the typical error of a golfer's mean in a phase is ${show(typicalError)} (${resolution.from}). The comparison of groups stands; a single golfer's change of that size cannot be told from noise.`,
          ]
        : [];
    return { smallest: plannedChange(metric, planned), cautions };
  }
  const fifth = betweenSd === null ? null : 0.2 * betweenSd;
  const value = Math.max(fifth ?? 0, typicalError ?? 0);
  if (!(value > 0)) return { smallest: null, cautions: [] };
  const parts = [
    fifth === null
      ? null
      : `0.2 x the SD between golfers ${atBaseline ? 'at the start' : 'of an arm'} (${show(fifth)})`,
    typicalError === null
      ? null
      : `the typical error of one golfer's mean in a phase (${show(typicalError)}, ${resolution.from}), below which a change cannot be seen in a golfer`,
  ].filter((part) => part !== null);
  const why = `No plan states one, so the default was taken: ${parts.length === 2 ? `the larger of ${parts.join(' and ')}` : parts[0]}. A coach who knows what matters should state it in a plan before the data come in.`;
  return { smallest: { value, unit, from: 'default', why, goodDirection }, cautions: [] };
}

/** The smallest change as it was given with the question, in the unit of the metric. */
export function askedChange({ unit, goodDirection }: StudyMetric, value: number): SmallestChange {
  return { value, unit, from: 'asked', why: 'Given with the question.', goodDirection };
}

/** The smallest change as the plan states it. */
export function plannedChange(
  { unit, goodDirection }: StudyMetric,
  { value, why }: NonNullable<Plan['smallestChangeThatMatters']>,
): SmallestChange {
  return { value, unit, from: 'plan', why: `Stated in the plan: ${why}`, goodDirection };
}
