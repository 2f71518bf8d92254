import { describe, expect, it } from 'vitest';
import { datasetFromRows } from '../../src/dataset/index.ts';
import { edited, problemsWith, ROSTER } from './roster.ts';

describe('keys', () => {
  it('reports a duplicate swing id with the line it stood on first', async () => {
    expect(await problemsWith(edited('swings.csv', 'W3,S2', 'W1,S2'))).toEqual([
      {
        kind: 'duplicate-key',
        severity: 'error',
        table: 'swings',
        row: 4,
        column: 'swing_id',
        found: 'W1',
        expected: 'each swing_id once; it stands on line 2 already',
        remedy: 'If the two rows are the same swing, take one away; if not, give this one an id of its own.',
      },
    ]);
  });

  it('reports a session of a golfer nobody knows', async () => {
    expect(await problemsWith(edited('sessions.csv', 'S3,G02', 'S3,G77'))).toEqual([
      {
        kind: 'unknown-key',
        severity: 'error',
        table: 'sessions',
        row: 4,
        column: 'golfer_id',
        found: 'G77',
        expected: 'a golfer_id that stands in golfers.csv',
        remedy: 'Correct the id, or add a row for it to golfers.csv.',
      },
    ]);
  });

  it('never takes a neighbour for a slip of the pen', async () => {
    const [problem] = await problemsWith(edited('sessions.csv', 'S3,G02', 'S3,G03'));
    expect(problem?.remedy).not.toContain('G02');
  });

  it('says which golfer is meant when only the form differs', async () => {
    const [problem] = await problemsWith(edited('sessions.csv', 'S3,G02', 'S3,g 2'));
    expect(problem).toMatchObject({ kind: 'unknown-key', row: 4, found: 'g 2' });
    expect(problem?.remedy).toContain('Write G02');
  });

  it('reports a swing without its session', async () => {
    const problems = await problemsWith(edited('swings.csv', 'W4,S3', 'W4,S9'));
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({
      kind: 'unknown-key',
      table: 'swings',
      row: 5,
      column: 'session_id',
      found: 'S9',
    });
  });

  it('reports an instructor that is not in instructors.csv, and asks for none when there is no such file', async () => {
    const sessions =
      'session_id,golfer_id,instructor_id,date,phase\nS1,G01,I1,2026-03-04,baseline\nS2,G01,I9,2026-04-20,post\nS3,G02,,2026-03-05,baseline\n';
    expect(await problemsWith({ 'sessions.csv': sessions })).toEqual([]);
    const problems = await problemsWith({
      'sessions.csv': sessions,
      'instructors.csv': 'instructor_id\nI1\n',
    });
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({ kind: 'unknown-key', row: 3, column: 'instructor_id', found: 'I9' });
  });

  it.each([
    ['case', 'g01'],
    ['a space', 'G 01'],
    ['a dash', 'G-01'],
    ['an invisible character', 'G\u200b01'],
  ])('stops two spellings of one pupil that differ by %s', async (_what, twin) => {
    const problems = await problemsWith({
      'golfers.csv': `${ROSTER['golfers.csv']}${twin},right,14.2,178,study,2026-03-01\n`,
    });
    const spelling = problems.find(({ kind }) => kind === 'duplicate-key');
    expect(spelling).toMatchObject({
      severity: 'error',
      table: 'golfers',
      row: 4,
      column: 'golfer_id',
      found: twin,
    });
    expect(spelling?.expected).toContain("'G01' stands on line 2");
    expect(spelling?.remedy).toContain('write G01 everywhere');
  });

  it('stops an id with a space at its end', async () => {
    const problems = await problemsWith(edited('golfers.csv', 'G02,left', '"G02 ",left'));
    expect(problems).toContainEqual(
      expect.objectContaining({
        kind: 'not-allowed',
        table: 'golfers',
        row: 3,
        found: 'G02 ',
        remedy: 'Take the spaces away: G02.',
      }),
    );
    expect(problems).toContainEqual(
      expect.objectContaining({
        kind: 'unknown-key',
        table: 'sessions',
        row: 4,
        remedy: expect.stringContaining('Write G02 '),
      }),
    );
  });

  it('warns of two swings in one place of a session', async () => {
    const problems = await problemsWith(edited('swings.csv', 'W2,S1,2', 'W2,S1,1'));
    expect(problems).toHaveLength(1);
    expect(problems[0]).toMatchObject({
      kind: 'duplicate-key',
      severity: 'warning',
      row: 3,
      column: 'order_in_session',
      found: '1',
    });
  });

  it('lets a golfer change arm, and not be assigned twice on one day', () => {
    const rows = {
      golfers: [{ golfer_id: 'G01', plays: 'right' as const }],
      sessions: [{ session_id: 'S1', golfer_id: 'G01', date: '2026-03-04', phase: 'baseline' as const }],
      swings: [{ swing_id: 'W1', session_id: 'S1', order_in_session: 1, task: 'full' as const }],
    };
    const first = { golfer_id: 'G01', trial_id: 'T1', arm: 'control', assigned_on: '2026-03-05' };
    const later = { ...first, arm: 'drill', assigned_on: '2026-05-05' };
    expect(datasetFromRows({ ...rows, assignments: [first, later] }).problems).toEqual([]);
    expect(datasetFromRows({ ...rows, assignments: [first, { ...first, arm: 'drill' }] }).problems).toEqual([
      expect.objectContaining({
        kind: 'duplicate-key',
        table: 'assignments',
        row: 3,
        found: 'G01, T1, 2026-03-05',
      }),
    ]);
  });

  it('stops a text that a spreadsheet would run', async () => {
    const problems = await problemsWith(edited('sessions.csv', 'S3,G02', '=1+2,G02'));
    expect(problems).toContainEqual(
      expect.objectContaining({
        kind: 'not-allowed',
        severity: 'warning',
        row: 4,
        found: '=1+2',
        remedy: expect.stringContaining('formula'),
      }),
    );
  });
});

describe('dates in an order the work does not have are warnings', () => {
  it('a session before consent', async () => {
    const problems = await problemsWith(
      edited('golfers.csv', 'study,2026-03-01\nG02', 'study,2026-03-10\nG02'),
    );
    expect(problems).toEqual([
      expect.objectContaining({
        kind: 'date-order',
        severity: 'warning',
        table: 'sessions',
        row: 2,
        column: 'date',
        found: '2026-03-04',
        expected: expect.stringContaining('2026-03-10, when G01 gave consent'),
      }),
    ]);
  });

  it('post before baseline', async () => {
    const problems = await problemsWith(edited('sessions.csv', '2026-04-20,post', '2026-03-02,post'));
    expect(problems).toEqual([
      expect.objectContaining({
        kind: 'date-order',
        severity: 'warning',
        row: 3,
        found: 'post on 2026-03-02',
        expected: expect.stringContaining('baseline on 2026-03-04 (line 2)'),
      }),
    ]);
  });

  it('post before the golfer was assigned', async () => {
    const problems = await problemsWith({
      'assignments.csv':
        'golfer_id,trial_id,arm,assigned_on\nG01,T1,drill,2026-05-01\nG02,T1,control,2026-03-06\n',
    });
    expect(problems).toEqual([
      expect.objectContaining({
        kind: 'date-order',
        severity: 'warning',
        table: 'sessions',
        row: 3,
        found: 'post on 2026-04-20',
        expected: expect.stringContaining('2026-05-01, when G01 was assigned'),
      }),
    ]);
  });
});
