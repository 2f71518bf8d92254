import { type Measurement, metricByColumn } from '../kinematics/index.ts';

/** A measured swing for people: the instants in order, then each number with its unit and uncertainty. */
export function measurementInWords({ instants, swing }: Measurement): string {
  const moments = Object.entries(instants)
    .sort(([, a], [, b]) => a - b)
    .map(([name, seconds]) => `  ${name}: ${(seconds * 1000).toFixed(0)} ms`);
  const numbers = Object.keys(swing)
    .filter((column) => !column.endsWith('_sd'))
    .map((column) => `  ${metricLine(column, swing[column] ?? null, swing[`${column}_sd`] ?? null)}`);
  return [
    'Instants, from impact:',
    ...moments,
    '',
    'Numbers (SD of the measurement in brackets):',
    ...numbers,
  ].join('\n');
}

function metricLine(column: string, value: number | null, sd: number | null): string {
  const { label, unit, decimals } = metricByColumn(column);
  if (value === null) return `${label}: not measured`;
  return `${label}: ${value.toFixed(decimals)} ${unit}${sd === null ? '' : ` (${sd.toFixed(decimals + 1)})`}`;
}
