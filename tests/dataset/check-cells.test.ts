import { describe, expect, it } from 'vitest';
import { edited, loadFiles, problemsWith, ROSTER } from './roster.ts';

describe('the roster the tests start from', () => {
  it('has no problem at all', async () => {
    const loaded = await loadFiles(ROSTER);
    expect(loaded.problems).toEqual([]);
    expect(loaded.valid).toBe(true);
  });
});

interface Case {
  readonly what: string;
  readonly file: string;
  readonly from: string;
  readonly to: string;
  readonly problem: readonly [string, 'error' | 'warning', number | null, string | null, string];
  readonly expected: string;
  readonly remedy: string;
}

/** kind, severity, line, column, found; then words that expectation and remedy must hold. */
const CASES: readonly Case[] = [
  {
    what: 'text in a number',
    file: 'swings.csv',
    from: '36.1',
    to: 'fast',
    problem: ['not-a-number', 'error', 3, 'club_speed_mps', 'fast'],
    expected: 'a number',
    remedy: 'or leave the cell empty',
  },
  {
    what: 'a decimal comma',
    file: 'swings.csv',
    from: '36.1',
    to: '"36,1"',
    problem: ['not-a-number', 'error', 3, 'club_speed_mps', '36,1'],
    expected: 'a number',
    remedy: '36.1',
  },
  {
    what: 'a unit behind the number',
    file: 'swings.csv',
    from: '36.1',
    to: '36.1 m/s',
    problem: ['not-a-number', 'error', 3, 'club_speed_mps', '36.1 m/s'],
    expected: 'a number',
    remedy: 'Write the number alone: 36.1',
  },
  {
    what: 'a dash for minus',
    file: 'swings.csv',
    from: '-1.5',
    to: '\u22121.5',
    problem: ['not-a-number', 'error', 5, 'shaft_lean_impact_deg', '\u22121.5'],
    expected: 'a number',
    remedy: '-1.5',
  },
  {
    what: 'hexadecimal, which a program would read as a number',
    file: 'swings.csv',
    from: '36.1',
    to: '0x24',
    problem: ['not-a-number', 'error', 3, 'club_speed_mps', '0x24'],
    expected: 'a number',
    remedy: 'number',
  },
  {
    what: 'a number too large to hold',
    file: 'swings.csv',
    from: '36.1',
    to: '1e999',
    problem: ['not-a-number', 'error', 3, 'club_speed_mps', '1e999'],
    expected: 'a number',
    remedy: 'smaller',
  },
  {
    what: 'a word for a missing value',
    file: 'swings.csv',
    from: '36.1',
    to: 'N/A',
    problem: ['suspect-missing-code', 'error', 3, 'club_speed_mps', 'N/A'],
    expected: 'a number',
    remedy: 'Leave the cell empty',
  },
  {
    what: '-999 for a missing value',
    file: 'swings.csv',
    from: '6.25',
    to: '-999',
    problem: ['suspect-missing-code', 'error', 4, 'shaft_lean_impact_deg', '-999'],
    expected: 'from -45 to 45 deg',
    remedy: 'Leave the cell empty',
  },
  {
    what: '0 where 0 cannot be',
    file: 'swings.csv',
    from: '36.1',
    to: '0',
    problem: ['suspect-missing-code', 'error', 3, 'club_speed_mps', '0'],
    expected: 'm/s',
    remedy: 'Leave the cell empty',
  },
  {
    what: 'an impossible value',
    file: 'swings.csv',
    from: '6.25',
    to: '52.5',
    problem: ['out-of-range', 'error', 4, 'shaft_lean_impact_deg', '52.5'],
    expected: 'from -45 to 45 deg',
    remedy: 'Correct the value',
  },
  {
    what: 'a value that deserves a look',
    file: 'swings.csv',
    from: '6.25',
    to: '31',
    problem: ['out-of-range', 'warning', 4, 'shaft_lean_impact_deg', '31'],
    expected: 'from -20 to 25 deg as a rule',
    remedy: 'Check the value',
  },
  {
    what: 'miles an hour in one cell',
    file: 'swings.csv',
    from: '36.1',
    to: '88.5',
    problem: ['suspect-unit', 'error', 3, 'club_speed_mps', '88.5'],
    expected: 'm/s',
    remedy: '0.44704',
  },
  {
    what: 'a plus handicap, which a program would read as above scratch',
    file: 'golfers.csv',
    from: '3.1',
    to: '+3.1',
    problem: ['suspect-unit', 'error', 3, 'handicap_index', '+3.1'],
    expected: 'without a plus sign',
    remedy: '+2.4 is written -2.4',
  },
  {
    what: 'an initial for the word',
    file: 'golfers.csv',
    from: 'G02,left',
    to: 'G02,L',
    problem: ['not-allowed', 'error', 3, 'plays', 'L'],
    expected: 'one of: right, left',
    remedy: 'Write left',
  },
  {
    what: 'inches for centimetres',
    file: 'golfers.csv',
    from: '178',
    to: '70',
    problem: ['suspect-unit', 'error', 2, 'height_cm', '70'],
    expected: 'from 80 to 230',
    remedy: '2.54',
  },
  {
    what: 'metres for centimetres',
    file: 'golfers.csv',
    from: '178',
    to: '1.78',
    problem: ['suspect-unit', 'error', 2, 'height_cm', '1.78'],
    expected: 'from 80 to 230',
    remedy: 'by 100',
  },
  {
    what: 'a part of a whole number',
    file: 'swings.csv',
    from: 'W2,S1,2',
    to: 'W2,S1,2.5',
    problem: ['not-a-number', 'error', 3, 'order_in_session', '2.5'],
    expected: 'a whole number',
    remedy: 'whole number',
  },
  {
    what: 'an unknown word, with the nearest allowed',
    file: 'sessions.csv',
    from: '2026-04-20,post',
    to: '2026-04-20,Post ',
    problem: ['not-allowed', 'error', 3, 'phase', 'Post '],
    expected: 'one of: baseline, training, post, retention',
    remedy: 'Write post',
  },
  {
    what: 'a word for the side that is near none',
    file: 'golfers.csv',
    from: 'G01,right',
    to: 'G01,both',
    problem: ['not-allowed', 'error', 2, 'plays', 'both'],
    expected: 'one of: right, left',
    remedy: 'letter for letter',
  },
  {
    what: 'neither yes nor no',
    file: 'swings.csv',
    from: '36.4,yes',
    to: '36.4,maybe',
    problem: ['not-allowed', 'error', 2, 'ground_first', 'maybe'],
    expected: 'yes or no',
    remedy: 'yes or no',
  },
  {
    what: 'a date that can be read two ways',
    file: 'sessions.csv',
    from: '2026-04-20',
    to: '04/03/2026',
    problem: ['not-a-date', 'error', 3, 'date', '04/03/2026'],
    expected: 'year-month-day',
    remedy: '2026-03-04 (day first) or 2026-04-03 (month first)',
  },
  {
    what: 'a day that no calendar has',
    file: 'sessions.csv',
    from: '2026-04-20',
    to: '2026-02-30',
    problem: ['not-a-date', 'error', 3, 'date', '2026-02-30'],
    expected: 'year-month-day',
    remedy: 'no such day',
  },
  {
    what: "a spreadsheet's day number",
    file: 'sessions.csv',
    from: '2026-04-20',
    to: '46132',
    problem: ['not-a-date', 'error', 3, 'date', '46132'],
    expected: 'year-month-day',
    remedy: 'spreadsheet counts days',
  },
  {
    what: 'a year slipped',
    file: 'sessions.csv',
    from: '2026-04-20',
    to: '1926-04-20',
    problem: ['out-of-range', 'error', 3, 'date', '1926-04-20'],
    expected: '1990-01-01',
    remedy: 'year',
  },
  {
    what: 'a required cell left empty',
    file: 'swings.csv',
    from: 'W2,S1,2,full',
    to: 'W2,S1,2,',
    problem: ['missing-value', 'error', 3, 'task', 'an empty cell'],
    expected: 'a value on every row',
    remedy: 'Fill in task',
  },
  {
    what: 'a control character',
    file: 'golfers.csv',
    from: 'G02,left,3.1,,study',
    to: 'G02,left,3.1,,stu\u0007dy',
    problem: ['not-allowed', 'error', 3, 'consent_scope', 'stu\u0007dy'],
    expected: 'text that can be seen',
    remedy: 'Type the cell again',
  },
  {
    what: 'a consent nobody defined',
    file: 'golfers.csv',
    from: 'G02,left,3.1,,study',
    to: 'G02,left,3.1,,all of it',
    problem: ['not-allowed', 'warning', 3, 'consent_scope', 'all of it'],
    expected: 'none, coaching, study, share',
    remedy: 'coaching',
  },
];

describe('one thing wrong in one cell', () => {
  it.each(CASES)('$what', async ({ file, from, to, problem, expected, remedy }) => {
    const problems = await problemsWith(edited(file, from, to));
    const [kind, severity, row, column, found] = problem;
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({
      kind,
      severity,
      table: file.replace('.csv', ''),
      row,
      column,
      found,
    });
    expect(problems[0]?.expected).toContain(expected);
    expect(problems[0]?.remedy).toContain(remedy);
  });
});

describe('what must not be called wrong', () => {
  it.each([
    ['a plus sign and an exponent', '36.1', '+3.61e1'],
    ['spaces round a number', '36.1', ' 36.1 '],
    ['TRUE as a spreadsheet writes it', '36.1,no', '36.1,FALSE'],
    ['0.0 as a data frame writes no beside blanks', '36.1,no', '36.1,0.0'],
    ['a whole number with a point', 'W2,S1,2', 'W2,S1,2.0'],
  ])('%s', async (_what, from, to) => {
    expect(await problemsWith(edited('swings.csv', from, to))).toEqual([]);
  });

  it('a plus handicap, which is below zero', async () => {
    expect(await problemsWith(edited('golfers.csv', '14.2', '-2.4'))).toEqual([]);
  });
});

describe('a field of ten thousand characters', () => {
  it('is reported whole', async () => {
    const long = 'x'.repeat(10_000);
    const problems = await problemsWith(edited('sessions.csv', 'S3,G02', `S3,${long}`));
    expect(problems[0]).toMatchObject({
      kind: 'not-allowed',
      table: 'sessions',
      row: 4,
      column: 'golfer_id',
    });
    expect(problems[0]?.found).toBe(long);
    expect(problems[0]?.expected).toContain('10000');
  });
});

describe('all problems at once', () => {
  it('finds each of five in three files', async () => {
    const problems = await problemsWith({
      ...edited('golfers.csv', 'G01,right', 'G01,rigth'),
      ...edited('sessions.csv', '2026-04-20', '20.4.2026'),
      'swings.csv': (ROSTER['swings.csv'] ?? '')
        .replace('36.1', 'x')
        .replace('6.25', '-999')
        .replace('W4', 'W3'),
    });
    expect(problems.map(({ table, row, column, kind }) => [table, row, column, kind])).toEqual([
      ['golfers', 2, 'plays', 'not-allowed'],
      ['sessions', 3, 'date', 'not-a-date'],
      ['swings', 3, 'club_speed_mps', 'not-a-number'],
      ['swings', 4, 'shaft_lean_impact_deg', 'suspect-missing-code'],
      ['swings', 5, 'swing_id', 'duplicate-key'],
    ]);
  });
});
