import { isMetricColumn, metricByColumn, type SuspectReading } from '../../kinematics/index.ts';
import type { FieldSchema } from '../schema.ts';

/** What a number column may hold, from its schema and, for a metric, from the catalogue. */
export interface NumberLimits {
  readonly possible: readonly [number, number];
  readonly plausible: readonly [number, number];
  readonly suspect: readonly SuspectReading[];
  readonly exactZero: 'value' | 'unlikely';
  readonly unit: string | null;
}

export function numberLimits(field: FieldSchema): NumberLimits {
  const { minimum = Number.NEGATIVE_INFINITY, maximum = Number.POSITIVE_INFINITY } = field.constraints ?? {};
  const possible: readonly [number, number] = [Number(minimum), Number(maximum)];
  if (isMetricColumn(field.name)) {
    const metric = metricByColumn(field.name);
    const { plausible, suspect, exactZero, unit } = metric;
    return { possible, plausible, suspect, exactZero, unit };
  }
  return {
    possible,
    plausible: field.plausible ?? possible,
    suspect: field.suspect ?? [],
    exactZero: 'value',
    unit: null,
  };
}

/** A closed range in words. */
export function rangeWords([low, high]: readonly [number, number], unit: string | null): string {
  const of = unit === null || unit.startsWith('rating') || unit === 'yes/no' ? '' : ` ${unit}`;
  if (low === Number.NEGATIVE_INFINITY && high === Number.POSITIVE_INFINITY) return 'a number';
  if (high === Number.POSITIVE_INFINITY) return `a number, ${low}${of} or more`;
  if (low === Number.NEGATIVE_INFINITY) return `a number, ${high}${of} or less`;
  return `a number from ${low} to ${high}${of}`;
}
