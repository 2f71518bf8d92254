/** Protections of an export one by one, where an attack on a whole roster may miss that one is off. */
import { describe, expect, it } from 'vitest';
import { type Dataset, datasetFromRows, type RowsInput } from '../../../src/dataset/index.ts';
import { consents } from '../../../src/dataset/privacy/share/consent.ts';
import { disclosedColumn, disclosureOf } from '../../../src/dataset/privacy/share/disclosed.ts';
import {
  coarseDate,
  practiceDate,
  visitDays,
  visitPatterns,
} from '../../../src/dataset/privacy/share/visits.ts';
import { roster } from './share-roster.ts';

function datasetOf(rows: RowsInput): Dataset {
  const made = datasetFromRows(rows);
  if (!made.valid) throw new Error(JSON.stringify(made.problems));
  return made.value;
}

describe('consent', () => {
  it('is none of somebody whose age is not known, unless a guardian gave it', () => {
    const rows = roster();
    const golfers = rows.golfers!.map((row, k) => ({
      ...row,
      consent_scope: 'share',
      age_band: k < 2 ? null : '40-49',
      consent_by: k === 1 ? 'guardian' : 'self',
    }));
    const gaps = consents(datasetOf({ ...rows, golfers } as unknown as RowsInput)).map(({ gap }) => gap);
    expect(gaps.slice(0, 3)).toEqual(['age unknown', null, null]);
  });
});

describe('dates', () => {
  const visits = ['2026-01-05', '2026-03-02'];

  it('of practice are those of the visit before, not the day itself', () => {
    // 2026-01-27 is 22 days after the first visit: three whole weeks, which only the pattern of practice would tell.
    expect(coarseDate('2026-01-27', visits, 0)).toBe('2000-01-24');
    expect(practiceDate('2026-01-27', visits, 0)).toBe('2000-01-03');
    // Eight weeks after the first.
    expect(practiceDate('2026-03-20', visits, 0)).toBe('2000-02-28');
    expect(practiceDate('2025-12-24', visits, 0)).toBe('1999-12-06');
  });

  it('of the arm are part of what is known: the same visits and another day of the arm are another pattern', () => {
    const rows = roster();
    const sessions = rows
      .sessions!.filter(({ phase }) => phase === 'baseline')
      .map((row) => ({ ...row, date: '2026-02-01' }));
    const assignments = rows.assignments!.map((row) => ({
      ...row,
      assigned_on: row.golfer_id === 'G005' ? '2026-04-20' : '2026-03-02',
    }));
    const swings = rows.swings!.filter(({ session_id }) => session_id.endsWith('-S1'));
    const dataset = datasetOf({ ...rows, sessions, swings, assignments } as unknown as RowsInput);
    const patterns = visitPatterns(dataset, visitDays(dataset), 0);
    expect(patterns.get('G001')).toBe(patterns.get('G003'));
    expect(patterns.get('G005')).not.toBe(patterns.get('G001'));
  });
});

it('a bout of practice is said to be on the day of the visit before it', () => {
  const practice = [{ golfer_id: 'G001', date: '2026-01-27', reps: 10 }];
  const dataset = datasetOf({ ...roster(), practice } as unknown as RowsInput);
  const made = disclosureOf(dataset, new Map([['G001', 2]]), new Map(), 0);
  // Everything at its finest: weeks between visits, and practice told.
  const disclosure = {
    ...made,
    days: new Map([['G001', ['2026-01-05']]]),
    generalised: { ...made.generalised, levels: [0, 0, 0, 0, 0, 0, 0] },
  };
  const column = dataset.tables.practice.stored('date')!;
  const shown = disclosedColumn(disclosure, dataset, 'practice', 'date', column);
  expect(shown?.kind === 'text' && shown.levels).toEqual(['2000-01-03']);
});

it('days and givers of consent, days of joining and times of day are in no export', () => {
  const dataset = datasetOf(roster());
  const levels = new Map(consents(dataset).map(({ golfer }) => [golfer, 2]));
  const disclosure = disclosureOf(dataset, levels, new Map(), 0);
  for (const [table, name] of [
    ['golfers', 'consent_date'],
    ['golfers', 'consent_by'],
    ['golfers', 'joined_on'],
    ['swings', 'time_of_day'],
  ] as const) {
    // The column itself is of no matter: it goes by its name.
    const column = dataset.tables.golfers.stored('golfer_id')!;
    expect([name, disclosedColumn(disclosure, dataset, table, name, column)]).toEqual([name, null]);
  }
});
