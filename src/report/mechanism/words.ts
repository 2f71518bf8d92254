import { isMetricColumn, metricByColumn } from '../../kinematics/index.ts';
import type { MechanismInterval } from '../../studies/index.ts';
import { decimalsFor, formatChange } from '../numbers.ts';

/** The label of a metric column; the column itself where the catalogue has none. */
export function labelFor(column: string): string {
  return isMetricColumn(column) ? metricByColumn(column).label : column;
}

/** Decimals for a number by half of its interval. */
export function stepDecimals({ value, interval }: MechanismInterval): number {
  return decimalsFor(interval === null ? Math.abs(value) / 10 : (interval[1] - interval[0]) / 2, 3);
}

/** `+2.1 (+1.2 to +3.0)`. */
export function spanWords({ value, interval }: MechanismInterval, decimals: number): string {
  const range =
    interval === null
      ? ''
      : ` (${formatChange(interval[0], decimals)} to ${formatChange(interval[1], decimals)})`;
  return `${formatChange(value, decimals)}${range}`;
}
