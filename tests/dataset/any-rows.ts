import fc from 'fast-check';
import type { RowsInput } from '../../src/dataset/index.ts';
import { metricCatalogue } from '../../src/kinematics/index.ts';

/** Texts with everything that CSV and UTF-8 can trip over, and nothing that a check calls an error. */
const word = fc.oneof(
  fc.constantFrom(
    'a,b',
    'say "x"',
    '"',
    '""',
    ',',
    'x\ny',
    'x\r\ny',
    'x\ry',
    'ä€𝄞',
    ' lead',
    'tail ',
    "'",
    ';',
    '0012',
    '=1+1',
    'true',
    'NaN',
    '-0',
  ),
  fc
    .string({ unit: 'grapheme', minLength: 1, maxLength: 20 })
    .filter((text) => !/[\p{Cc}\p{Cs}]/u.test(text)),
);
const optional = <T>(value: fc.Arbitrary<T>) => fc.option(value, { nil: null });
const date = fc
  .date({ min: new Date('1990-01-01'), max: new Date('2100-12-31'), noInvalidDate: true })
  .map((day) => day.toISOString().slice(0, 10));

type Range = (min: number, max: number) => fc.Arbitrary<number>;

/** Values of every metric column, or of some. */
const metricsIn = (within: Range) =>
  fc.record(
    Object.fromEntries(
      metricCatalogue.flatMap((metric): [string, fc.Arbitrary<unknown>][] => {
        if (metric.kind === 'yes-no') return [[metric.column, optional(fc.boolean())]];
        const [min, max] = metric.plausible;
        if (metric.kind === 'ordinal') return [[metric.column, optional(fc.integer({ min, max }))]];
        return [
          [metric.column, optional(within(min, max))],
          [`${metric.column}_sd`, optional(fc.double({ min: 0, max: 1e300, noNaN: true }))],
        ];
      }),
    ),
    { requiredKeys: [] },
  );

/** What the rows of a dataset are drawn from. */
export interface RowsFrom {
  /** The golfers, each one once. */
  readonly golfers: fc.Arbitrary<readonly string[]>;
  /** Whatever a person may type. */
  readonly word: fc.Arbitrary<string>;
  /** A number of a metric between its plausible ends. */
  readonly within: Range;
  readonly mostSwings: number;
  /** Title of a column of the swings that no schema knows, with words in it; null for none. */
  readonly extra: fc.Arbitrary<string | null>;
}

/** Rows of a dataset that may be anything valid, but that a whole column may look as if it were in another unit. */
export function rowsFrom({ golfers, word, within, mostSwings, extra }: RowsFrom): fc.Arbitrary<RowsInput> {
  return fc
    .tuple(
      golfers,
      fc.array(fc.tuple(fc.nat(), date, fc.constantFrom('baseline', 'post'), optional(word)), {
        minLength: 1,
        maxLength: 6,
      }),
      fc.array(
        fc.tuple(
          fc.nat(),
          fc.constantFrom('full', 'drill'),
          optional(word),
          optional(word),
          metricsIn(within),
        ),
        { minLength: 1, maxLength: mostSwings },
      ),
      fc.array(fc.tuple(fc.nat(), date, optional(word), optional(fc.integer({ min: 0, max: 900 }))), {
        maxLength: 5,
      }),
      extra,
    )
    .map(([ids, sessions, swings, practice, title]) => {
      const golfer = (pick: number) => ids[pick % ids.length]!;
      return {
        golfers: ids.map((id, index) => ({
          golfer_id: id,
          plays: index % 2 ? 'left' : 'right',
          handicap_index: index ? -1.25 : null,
        })),
        sessions: sessions.map(([pick, day, phase, device], index) => ({
          session_id: `S${index}`,
          golfer_id: golfer(pick),
          date: day,
          phase,
          device,
        })),
        swings: swings.map(([pick, task, club, own, values], index) => ({
          swing_id: `W${index}`,
          session_id: `S${pick % sessions.length}`,
          order_in_session: index + 1,
          task,
          club,
          ...(title === null ? {} : { [title]: own }),
          ...values,
        })),
        practice: practice.map(([pick, day, drill, reps]) => ({
          golfer_id: golfer(pick),
          date: day,
          drill,
          reps,
        })),
      } as unknown as RowsInput;
    });
}

/** Rows with the texts that a CSV file trips over. */
export const anyRows = rowsFrom({
  golfers: fc
    .uniqueArray(fc.nat(999), { minLength: 1, maxLength: 5 })
    .map((numbers) => numbers.map((number) => `G-${number}`)),
  word,
  within: (min, max) => fc.double({ min, max, noNaN: true }),
  mostSwings: 12,
  extra: fc.constant(null),
});
