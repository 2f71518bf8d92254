import type { Plan } from '../../../dataset/index.ts';
import { median, moments, pureBetweenSd } from '../../../stats/index.ts';
import type { SmallestChange } from '../../finding.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';
import { amount } from '../../shared/words.ts';
import { slopeUnit, stepOf } from '../input/columns.ts';
import { type Frame, golferMeans, productsOf } from './frame.ts';

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
  const { golfers, cells, sessions, size } = frame;
  const { counts, means } = golferMeans(frame, [column]);
  let squares = 0;
  for (const square of productsOf({ ...frame, own: 'golfer' }, [column]).products) squares += square;
  const free = size - golfers;
  const swingVariance = free > 0 ? squares / free : 0;
  let noise = 0;
  for (const n of counts) noise += swingVariance / n / golfers;
  const spread = moments(Array.from(means[0]!))?.sd ?? 0;
  const perVisit = Math.max(1, Math.round(median(cells.counts) ?? size / sessions));
  return {
    betweenSd: pureBetweenSd(spread, noise),
    typicalError: Math.sqrt(swingVariance / perVisit),
    perVisit,
  };
}
