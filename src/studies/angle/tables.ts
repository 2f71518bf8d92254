import type { AngleStep, ElbowComparison } from '../../kinematics/index.ts';
import type { AngleDefinitionRow, AngleStepRow } from '../angle-tables.ts';

export function definitionRow(entry: ElbowComparison['definitions'][number]): AngleDefinitionRow {
  return {
    definition: entry.label,
    equation: entry.equation,
    meanDifference: entry.mean_deg,
    sdDifference: entry.sd_deg,
    largestDifference: entry.largest_deg,
    inRow: entry.largestRow,
    why: entry.why,
  };
}

export function stepRow({
  heading,
  symbol,
  name,
  equation,
  numbers,
  value,
  unit,
  source,
}: AngleStep): AngleStepRow {
  const six = (number: number) =>
    Number(number.toPrecision(6)) === 0 ? '0' : String(Number(number.toPrecision(9)));
  const shown =
    typeof value === 'number'
      ? six(value)
      : typeof value[0] === 'number'
        ? (value as readonly number[]).map(six).join(', ')
        : (value as readonly (readonly number[])[]).map((line) => line.map(six).join(', ')).join('; ');
  return { heading, symbol, name, equation, numbers: numbers ?? '', value: shown, unit, source };
}

export function seriesColumns(
  series: readonly object[],
  names: readonly string[],
): Readonly<Record<string, number | null>>[] {
  return series.map((entry) => {
    const own = entry as Readonly<Record<string, number | null>>;
    return Object.fromEntries(['row', ...names].map((name) => [name, own[name] ?? null]));
  });
}
