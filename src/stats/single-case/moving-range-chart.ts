/** Mean and SD of the range of two normal values with SD 1. */
const D2 = 2 / Math.sqrt(Math.PI);
const D3 = Math.sqrt(2 - 4 / Math.PI);

/** 2.6587, in print 2.66: three standard deviations for each unit of the mean moving range. */
export const LIMIT_FACTOR = 3 / D2;
/** 3.2665, in print 3.267 (D4 for ranges of two): mean range plus three of its standard deviations. */
export const RANGE_FACTOR = 1 + (3 * D3) / D2;
/** So many values in a row on one side of the centre are a signal. */
export const RUN_LENGTH = 8;

/** The limits of a chart of single values and of their moving ranges, in the unit of the values. */
export interface ChartLimits {
  readonly centre: number;
  readonly low: number;
  readonly high: number;
  readonly meanRange: number;
  readonly rangeHigh: number;
  /** How many values the limits were made from. */
  readonly from: number;
}

/**
 * Limits of an individuals and moving-range chart: mean +/- 3 x mean moving range / d2, and D4 x mean moving range for
 * the ranges, with d2 = 2 / sqrt(pi) (Shewhart 1931; NIST/SEMATECH e-Handbook of Statistical Methods, 6.3.2.2). Null below
 * two values.
 *
 * @example chartLimits([1, 3, 2])?.meanRange // 1.5
 */
export function chartLimits(values: readonly number[]): ChartLimits | null {
  const ranges = movingRanges(values).filter((range) => range !== null);
  if (ranges.length === 0) return null;
  const centre = values.reduce((sum, value) => sum + value, 0) / values.length;
  const meanRange = ranges.reduce((sum, range) => sum + range, 0) / ranges.length;
  return {
    centre,
    low: centre - LIMIT_FACTOR * meanRange,
    high: centre + LIMIT_FACTOR * meanRange,
    meanRange,
    rangeHigh: RANGE_FACTOR * meanRange,
    from: values.length,
  };
}

/**
 * The distance of each value from the one before it; null for the first.
 * @example movingRanges([1, 3, 2]) // [null, 2, 1]
 */
export function movingRanges(values: readonly number[]): (number | null)[] {
  return values.map((value, i) => (i === 0 ? null : Math.abs(value - values[i - 1]!)));
}

/** What a chart signals: a value beyond its limits, a long run on one side of the centre, or a range too large. */
export type ChartSignal = 'beyond-limits' | 'run' | 'range';

/**
 * What the chart signals at each value: beyond the limits; the eighth or later in a row on one side of the centre
 * (Western Electric Company 1956, Statistical Quality Control Handbook, zone tests); a range over its limit. A value on the centre
 * ends a run.
 *
 * @returns for each value what is signalled there, empty where nothing is
 * @example
 * const limits = { centre: 10, low: 4, high: 16, meanRange: 2.256, rangeHigh: 7.37, from: 20 };
 * chartSignals([10, 17, 9], limits) // [[], ['beyond-limits'], ['range']]: 17 > 16, and from 17 to 9 is more than 7.37
 * chartSignals([11, 11, 11, 11, 11, 11, 11, 11], limits).at(-1) // ['run']
 */
export function chartSignals(values: readonly number[], limits: ChartLimits): ChartSignal[][] {
  let side = 0;
  let run = 0;
  return movingRanges(values).map((range, i) => {
    const value = values[i]!;
    const now = Math.sign(value - limits.centre);
    run = now !== 0 && now === side ? run + 1 : now === 0 ? 0 : 1;
    side = now;
    const signals: ChartSignal[] = [];
    if (value > limits.high || value < limits.low) signals.push('beyond-limits');
    if (run >= RUN_LENGTH) signals.push('run');
    if (range !== null && range > limits.rangeHigh) signals.push('range');
    return signals;
  });
}
