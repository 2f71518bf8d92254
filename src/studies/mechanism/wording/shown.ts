import type { FindingEstimate } from '../../finding.ts';
import { studyMetric } from '../../shared/study-metric.ts';
import { amount, decimalsToShow, figureIn, percent } from '../../shared/words.ts';
import type { Found } from '../analysis/estimate.ts';

/** What can be told of a number: with or without degrees of freedom. */
export interface Told {
  readonly value: number;
  readonly interval: readonly [number, number] | null;
  readonly degreesOfFreedom?: number | null;
}

/** `2.1 deg (95% interval 1.2 to 3.0)`. */
export function withInterval(told: Told, unit: string, level: number, least = 1): string {
  const decimals = decimalsToShow(told.interval, null, least);
  const size = amount(told.value, unit, decimals);
  if (told.interval === null) return `${size} (no interval)`;
  const [low, high] = told.interval.map((end) => figureIn(end, unit, decimals)) as [string, string];
  return `${size} (${percent(level, 1)} interval ${low} to ${high})`;
}

/** As an estimate of the finding; what is not finite becomes null. */
export function estimate(
  key: string,
  name: string,
  told: Told | Found,
  unit: string,
  level: number,
  meaning: string,
): FindingEstimate {
  const finite = (value: number | null | undefined) =>
    value !== null && value !== undefined && Number.isFinite(value) ? value : null;
  return {
    key,
    name,
    value: finite(told.value),
    interval: [finite(told.interval?.[0]), finite(told.interval?.[1])],
    level,
    unit,
    degreesOfFreedom: finite(told.degreesOfFreedom),
    meaning,
  };
}

export const labelOf = (column: string): string => studyMetric(column).label;

/** Whether an interval leaves out a value. */
export function leavesOut(interval: readonly [number, number] | null, value = 0): boolean {
  return interval !== null && (interval[0] > value || interval[1] < value);
}
