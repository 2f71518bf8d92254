import type { Plan } from '../../../dataset/index.ts';
import { median, moments, pureBetweenSd } from '../../../stats/index.ts';
import type { SmallestChange } from '../../finding.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';
import { amount } from '../../shared/words.ts';
import { slopeUnit, stepOf } from '../input/columns.ts';
import type { Frame } from './frame.ts';

/**
 * The smallest slope that matters, for a step of the predictor: the change of the outcome that matters (the plan's, or by
 * default the larger of 0.2 x the SD between golfers, noise taken out, and the typical error of a golfer's mean in one visit),
 * as what a step of the predictor would have to go with. Null where the outcome does not vary.
 */
export function smallestSlope(
  frame: Frame,
  predictor: string,
  metric: StudyMetric,
  planned: Plan['smallestChangeThatMatters'] | null,
): SmallestChange | null {
  const { goodDirection, unit: own, decimals, column } = metric;
  const unit = slopeUnit(column, predictor);
  const step = stepOf(predictor).short;
  if (planned !== null && planned !== undefined)
    return {
      value: planned.value,
      unit,
      from: 'plan',
      why: `Stated in the plan, read as what ${step} would have to go with: ${planned.why}`,
      goodDirection,
    };
  const { betweenSd, typicalError, perVisit } = spreads(frame, column);
  const value = Math.max(0.2 * betweenSd, typicalError);
  if (!(value > 0)) return null;
  const show = (size: number) => amount(size, own, Math.max(decimals, 1) + 1);
  return {
    value,
    unit,
    from: 'default',
    why: `No plan states one, so the default was taken: ${step} matters if it goes with at least the larger of 0.2 x the SD between golfers (${show(0.2 * betweenSd)}; Hopkins 2004) and the typical error of one golfer's mean over a visit of ${perVisit} swings (${show(typicalError)}), below which nothing can be seen in a golfer. A coach who knows what matters should state it in a plan before the data come in.`,
    goodDirection,
  };
}

function spreads(frame: Frame, column: string) {
  const { golfers, golferAt, sessions } = frame;
  const values = frame.raw[column]!;
  const sums = new Float64Array(golfers);
  const counts = new Float64Array(golfers);
  values.forEach((value, i) => {
    sums[golferAt[i]!] = sums[golferAt[i]!]! + value;
    counts[golferAt[i]!] = counts[golferAt[i]!]! + 1;
  });
  const means = Array.from(sums, (sum, g) => sum / counts[g]!);
  let squares = 0;
  values.forEach((value, i) => {
    squares += (value - means[golferAt[i]!]!) ** 2;
  });
  const free = values.length - golfers;
  const swingVariance = free > 0 ? squares / free : 0;
  const noise = Array.from(counts).reduce((sum, n) => sum + swingVariance / n, 0) / golfers;
  const spread = moments(means)?.sd ?? 0;
  const perVisit = Math.max(1, Math.round(median(visits(frame)) ?? values.length / sessions));
  return {
    betweenSd: pureBetweenSd(spread, noise),
    typicalError: Math.sqrt(swingVariance / perVisit),
    perVisit,
  };
}

function visits({ swings }: Frame): number[] {
  const counts = new Map<string, number>();
  for (const { session } of swings) counts.set(session, (counts.get(session) ?? 0) + 1);
  return [...counts.values()];
}
