/** What loadDataset refuses in a swing is refused in the sums, where the sums tell it. */
import { describe, expect, it } from 'vitest';
import { datasetFromRows, type SwingSums } from '../../../src/dataset/index.ts';
import { judgeSums } from '../../../src/dataset/store/judge-sums.ts';

const METRIC = 'shaft_lean_impact_deg';
const made = datasetFromRows({
  golfers: [{ golfer_id: 'G01', plays: 'right' }],
  sessions: [
    { session_id: 'S1', golfer_id: 'G01', date: '2026-01-05', phase: 'baseline' },
    { session_id: 'S2', golfer_id: 'G01', date: '2026-01-06', phase: 'baseline' },
  ],
  swings: [{ swing_id: 'W1', session_id: 'S1', task: 'full', order_in_session: 1, [METRIC]: 4 }],
} as unknown as Parameters<typeof datasetFromRows>[0]);
if (!made.valid) throw new Error(JSON.stringify(made.problems));
const { sessions } = made.value.tables;

function judged(groups: readonly (readonly [session: string | null, least: number, most: number])[]) {
  const of = (pick: (group: (typeof groups)[number]) => number) => Float64Array.from(groups, pick);
  const sums: SwingSums = {
    column: METRIC,
    rows: 10 * groups.length,
    groups: {
      session: groups.map(([session]) => session),
      task: groups.map(() => 'full'),
      missing: of(() => 0),
      count: of(() => 10),
      mean: of(([, least, most]) => (least + most) / 2),
      squares: of(() => 1),
      least: of(([, least]) => least),
      most: of(([, , most]) => most),
    },
  };
  return judgeSums(sums, sessions).map(({ kind, severity, found }) => `${severity} ${kind}: ${found}`);
}

describe('swings judged by their sums', () => {
  it('finds nothing where all is well', () => {
    expect(
      judged([
        ['S1', 2, 8],
        ['S2', 1, 7],
      ]),
    ).toEqual([]);
  });

  it('refuses sessions that are not in sessions.csv, and swings without one', () => {
    expect(
      judged([
        ['S1', 2, 8],
        ['S3', 2, 8],
        ['S4', 2, 8],
        [null, 2, 8],
      ]),
    ).toEqual([
      'error missing-value: an empty cell in 10 swings',
      'error unknown-key: S3, and 1 more sessions, in 20 swings',
    ]);
  });

  it('refuses values that are not possible, and warns of those that are seldom right', () => {
    expect(
      judged([
        ['S1', -999, 8],
        ['S2', 1, 999],
      ]),
    ).toEqual(['error out-of-range: -999 in session S1, and values of 1 more sessions']);
    expect(judged([['S1', -35, 8]]).map((words) => words.split(':')[0])).toEqual(['warning out-of-range']);
  });

  it('takes a session without a value', () => {
    expect(judged([['S1', Number.NaN, Number.NaN]])).toEqual([]);
  });
});
