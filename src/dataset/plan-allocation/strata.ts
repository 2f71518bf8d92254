import type { Dataset } from '../dataset.ts';
import { tableSchema } from '../schema.ts';

/** How golfers fall into strata: by the value of a text, or on either side of the middle of a number. */
export interface StratumRule {
  readonly column: string;
  /** For a number: up to and including this is `lower`; for a text null. */
  readonly middle: number | null;
}

/** Columns of golfers.csv that can stratify. */
export const STRATUM_COLUMNS: readonly string[] = tableSchema('golfers')
  .fields.map(({ name }) => name)
  .filter((name) => !['golfer_id', 'consent_scope', 'consent_date', 'consent_by'].includes(name));

/**
 * The rule of each column, with the middle of the golfers that are there: their median, the lower of the two middle ones
 * where their number is even.
 *
 * @param columns some of `STRATUM_COLUMNS`
 * @example
 * // Two golfers of the demo, with handicap indices of 18.1 and 15.7
 * stratumRules(keepGolfers(dataset, new Set(['G01', 'G02'])), ['handicap_index', 'plays'])
 * // [{ column: 'handicap_index', middle: 15.7 }, { column: 'plays', middle: null }]
 */
export function stratumRules({ tables }: Dataset, columns: readonly string[]): StratumRule[] {
  return columns.map((column) => {
    const stored = tables.golfers.stored(column);
    if (stored === undefined || stored.kind === 'text') return { column, middle: null };
    const sorted = stored.values.filter((value) => !Number.isNaN(value)).sort();
    return { column, middle: sorted.length === 0 ? null : sorted[Math.floor((sorted.length - 1) / 2)]! };
  });
}

/**
 * The stratum of each golfer by id, such as `handicap_index lower, plays right`; `all` where there is no rule.
 *
 * @example
 * // The first golfer of the demo has a handicap index of 18.1 and plays right-handed
 * strataOf(dataset, [{ column: 'handicap_index', middle: 12 }, { column: 'plays', middle: null }]).get('G01')
 * // 'handicap_index higher, plays right'
 */
export function strataOf({ tables }: Dataset, rules: readonly StratumRule[]): ReadonlyMap<string, string> {
  const { golfers } = tables;
  const parts = rules.map(({ column, middle }) => {
    const stored = golfers.stored(column);
    if (stored === undefined) return () => `${column} missing`;
    if (stored.kind === 'text') {
      const texts = golfers.text(column);
      return (row: number) => `${column} ${texts[row] ?? 'missing'}`;
    }
    return (row: number) => {
      const value = stored.values[row]!;
      const side = Number.isNaN(value) || middle === null ? 'missing' : value <= middle ? 'lower' : 'higher';
      return `${column} ${side}`;
    };
  });
  return new Map(
    golfers
      .column('golfer_id')
      .map((id, row) => [id ?? '', parts.length === 0 ? 'all' : parts.map((part) => part(row)).join(', ')]),
  );
}
