import type { MeasuredCurve } from '../../../dataset/index.ts';
import { type CubicSpline, cubicSpline } from '../../../numerics/index.ts';

/** Longer stretches without a sample are not bridged, per cent of the downswing. */
export const LONGEST_GAP_PCT = 6;
/** A curve may begin so much after the top and end so much before impact, per cent of the downswing. */
export const SHORT_OF_END_PCT = 1;

/** The spline through a curve's samples over per cent of the downswing, or why the curve cannot be used. */
export function usableCurve({ time_pct, values }: MeasuredCurve): CubicSpline | string {
  const seen = [...values.keys()].filter((i) => !Number.isNaN(values[i]!));
  if (seen.length < 2) return 'the curve has fewer than two samples';
  const times = Float64Array.from(seen, (i) => time_pct[i]!);
  if (times[0]! > SHORT_OF_END_PCT || times.at(-1)! < 100 - SHORT_OF_END_PCT)
    return 'the curve does not reach from top to impact';
  if (times.some((time, k) => k > 0 && time - times[k - 1]! > LONGEST_GAP_PCT))
    return `the curve has a gap of more than ${LONGEST_GAP_PCT}% of the downswing`;
  return cubicSpline(
    times,
    Float64Array.from(seen, (i) => values[i]!),
  );
}
