import type { SuspectReading } from '../../kinematics/index.ts';
import { median } from '../../numerics/index.ts';
import type { Problem } from '../problem.ts';
import { numberLimits, rangeWords } from '../read/number-limits.ts';
import { tableSchema } from '../schema.ts';
import type { Table } from '../table.ts';
import { fewNumbers } from './numbers.ts';

/** Fewer values than this say nothing about a column as a whole. */
export const ENOUGH = 5;

/** Columns that as a whole look like another unit or convention, or like zeros in place of blanks. */
export function checkColumnUnits(table: Table, keep: (index: number) => boolean): Problem[] {
  return tableSchema(table.name).fields.flatMap((field) => {
    const stored = table.stored(field.name);
    if (stored?.kind !== 'number' || field.type === 'boolean') return [];
    const limits = numberLimits(field);
    const values = present(stored.values, keep);
    if (values.length < ENOUGH) return [];
    const at = { table: table.name, row: null, column: field.name } as const;
    const expected = `${rangeWords(limits.plausible, limits.unit)} as a rule`;
    const problems: Problem[] = limits.suspect
      .flatMap((rule) => {
        const shown = showsReading(values, rule);
        if (shown === null) return [];
        return [
          {
            ...at,
            kind: 'suspect-unit' as const,
            severity: rule.severity ?? ('error' as const),
            found: shown,
            expected,
            remedy: `The column looks like ${rule.reads}. ${rule.remedy}`,
          },
        ];
      })
      .slice(0, 1);
    const zeros = values.filter((value) => value === 0).length;
    const zeroIsPlausible = limits.plausible[0] <= 0 && limits.plausible[1] >= 0;
    if (limits.exactZero === 'unlikely' && zeroIsPlausible && zeros >= ENOUGH && zeros >= 0.2 * values.length)
      problems.push({
        ...at,
        kind: 'suspect-missing-code',
        severity: 'warning',
        found: `${zeros} of ${values.length} values are exactly 0`,
        expected: 'an empty cell where a value is missing',
        remedy: 'Empty the cells whose 0 stands for a missing value; keep a 0 that was measured.',
      });
    return problems;
  });
}

function present(values: Float64Array, keep: (index: number) => boolean): Float64Array {
  const kept = new Float64Array(values.length);
  let length = 0;
  for (let index = 0; index < values.length; index += 1)
    if (!Number.isNaN(values[index]) && keep(index)) kept[length++] = values[index]!;
  return length >= ENOUGH ? kept.subarray(0, length) : values.filter((value) => !Number.isNaN(value));
}

/** What shows that a column has this reading, in words; null when it does not. */
function showsReading(values: Float64Array, rule: SuspectReading): string | null {
  if (rule.medianBetween !== undefined) {
    const typical = median(values);
    if (typical !== null && typical >= rule.medianBetween[0] && typical <= rule.medianBetween[1])
      return `${values.length} values with a median of ${fewNumbers(typical)}`;
  }
  if (rule.allWithin !== undefined) {
    let low = Number.POSITIVE_INFINITY;
    let high = Number.NEGATIVE_INFINITY;
    for (const value of values) {
      low = Math.min(low, value);
      high = Math.max(high, value);
    }
    if (low >= rule.allWithin[0] && high <= rule.allWithin[1] && low < high)
      return `${values.length} values, all from ${fewNumbers(low)} to ${fewNumbers(high)}`;
  }
  return null;
}
