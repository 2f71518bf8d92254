import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { sharedReference } from '../reference/shared.ts';
import { newFolder, snapshot, trialRows, type, untidy, writeRows } from './harness.ts';

const GOOD = { golfersPerArm: 6, swingsPerSession: 4, arms: ['control', 'drill'], value: untidy };

async function goodFolder(): Promise<string> {
  return writeRows(trialRows(GOOD));
}

/** Puts one file of a good folder through `change`. */
async function spoilt(file: string, change: (text: string) => string): Promise<string> {
  const folder = await goodFolder();
  const path = join(folder, file);
  const before = await readFile(path, 'utf8');
  const after = change(before);
  expect(after).not.toBe(before);
  await writeFile(path, after);
  return folder;
}

/** The problems a refusal prints with --json; also sees to it that nothing in the folder was touched. */
async function refusal(folder: string, ...words: string[]): Promise<Record<string, unknown>[]> {
  const before = await snapshot(folder);
  const typed = await type(...words, '--json');
  expect(await snapshot(folder)).toEqual(before);
  expect(typed.exit).toBe(1);
  expect(typed.err).not.toMatch(/\bat .*\.ts:\d+/);
  return (JSON.parse(typed.out) as { problems: Record<string, unknown>[] }).problems;
}

describe('bad data is refused with table, row, column, what was found and what to do', () => {
  it('a missing column', async () => {
    const folder = await spoilt('sessions.csv', (text) => text.replace('phase', 'stage'));
    const problems = await refusal(folder, 'ask', 'drill-trial', '--data', folder);
    expect(problems).toContainEqual(
      expect.objectContaining({
        kind: 'missing-column',
        table: 'sessions',
        column: 'phase',
        severity: 'error',
      }),
    );
  });

  it('an unknown golfer', async () => {
    const folder = await spoilt('sessions.csv', (text) => text.replace(',G03,', ',G99,'));
    const problems = await refusal(folder, 'ask', 'drill-trial', '--data', folder);
    expect(problems).toContainEqual(
      expect.objectContaining({ kind: 'unknown-key', table: 'sessions', column: 'golfer_id', row: 6 }),
    );
    expect(JSON.stringify(problems)).toContain('G99');
  });

  it('a duplicate swing', async () => {
    const folder = await spoilt('swings.csv', (text) => text.replace('G01-baseline-2,', 'G01-baseline-1,'));
    const problems = await refusal(folder, 'check', folder);
    expect(problems).toContainEqual(
      expect.objectContaining({ kind: 'duplicate-key', table: 'swings', column: 'swing_id', row: 3 }),
    );
  });

  it('text in a number', async () => {
    const folder = await spoilt('swings.csv', (text) => {
      const lines = text.split('\n');
      const column = (lines[0] ?? '').split(',').indexOf('shaft_lean_impact_deg');
      const cells = (lines[4] ?? '').split(',');
      cells[column] = 'about 5';
      lines[4] = cells.join(',');
      return lines.join('\n');
    });
    const problems = await refusal(folder, 'ask', 'drill-trial', '--data', folder);
    expect(problems).toContainEqual(
      expect.objectContaining({ kind: 'not-a-number', column: 'shaft_lean_impact_deg', row: 5 }),
    );
    expect(JSON.stringify(problems)).toContain('about 5');
  });

  it('an empty file', async () => {
    const folder = await spoilt('swings.csv', () => '');
    const problems = await refusal(folder, 'ask', 'drill-trial', '--data', folder);
    expect(problems).toContainEqual(expect.objectContaining({ kind: 'empty-file', table: 'swings' }));
  });

  it('several faults at once, none hidden by another', async () => {
    const folder = await spoilt('swings.csv', (text) =>
      text.replace('G01-baseline-2,', 'G01-baseline-1,').replace(',G02-post,', ',G02-nowhere,'),
    );
    const kinds = (await refusal(folder, 'check', folder)).map((problem) => problem.kind);
    expect(kinds).toContain('duplicate-key');
    expect(kinds).toContain('unknown-key');
  });

  it('a folder that is not there', async () => {
    const typed = await type('ask', 'drill-trial', '--data', await newFolder('nowhere'));
    expect(typed).toMatchObject({ exit: 1, out: '' });
    expect(typed.err).toContain('nowhere');
  });
});

interface Answer {
  readonly verdict: string;
  readonly answer: string;
  readonly warnings: readonly string[];
  readonly design: { readonly kind: string };
  readonly estimates: readonly {
    readonly value: number | null;
    readonly interval: readonly (number | null)[];
  }[];
}

async function answered(folder: string): Promise<Answer> {
  const typed = await type('ask', 'drill-trial', '--data', folder, '--json');
  expect(typed.exit).toBe(0);
  expect(typed.out).not.toMatch(/NaN|Infinity/);
  return JSON.parse(typed.out) as Answer;
}

describe('data that cannot carry the answer get one that says so', () => {
  it('one arm only: a change, with the warning that it has no control', async () => {
    const folder = await writeRows(trialRows({ ...GOOD, golfersPerArm: 10, arms: ['drill'] }));
    const finding = await answered(folder);
    expect(finding.design.kind).toBe('before-after');
    expect(JSON.stringify(finding)).toMatch(/without a control|no control/i);
  });

  it('one swing per golfer: the means are compared, and the report says that it could not do more', async () => {
    const folder = await writeRows(trialRows({ ...GOOD, swingsPerSession: 1 }));
    const finding = await answered(folder);
    expect(finding.estimates[0]?.value).not.toBeNull();
    expect(finding.warnings.join(' ')).toContain('one swing');
  });

  it('all values equal: cannot tell, in words, without a number', async () => {
    const folder = await writeRows(trialRows({ ...GOOD, value: () => 4 }));
    const finding = await answered(folder);
    expect(finding.verdict).toBe('cannot-tell');
    expect(finding.estimates[0]).toMatchObject({ value: null, interval: [null, null] });
    expect(finding.answer).toMatch(/same value/);
  });
});

describe('nothing is overwritten', () => {
  let taken = '';
  let data = '';
  beforeAll(async () => {
    data = await goodFolder();
    taken = await goodFolder();
  });

  it.each([
    ['ask', () => ['ask', 'drill-trial', '--data', data, '--out', taken]],
    ['init', () => ['init', taken]],
    ['demo', () => ['demo', '--out', taken]],
    ['generate', () => ['generate', '--recipe', 'drill-no-effect', '--seed', '1', '--out', taken]],
    ['run', () => ['run', 'notebooks/drill-trial.ts', '--data', data, '--out', taken]],
  ])('%s refuses an output folder that exists', async (_, words) => {
    const before = await snapshot(taken);
    const typed = await type(...words());
    expect(typed.exit).toBe(2);
    expect(typed.out).toBe('');
    expect(typed.err).toContain('exists and is not empty');
    expect(typed.err).toContain('nothing was written');
    expect(await snapshot(taken)).toEqual(before);
  });
});

describe('an output that cannot be', () => {
  it('under a file: refused in words', async () => {
    const data = await goodFolder();
    const typed = await type(
      'ask',
      'drill-trial',
      '--data',
      data,
      '--out',
      join(data, 'swings.csv', 'report'),
    );
    expect(typed.exit).toBe(2);
    expect(typed.err).toContain('What to do');
  });

  it('with a name too long for the disk: refused in words', async () => {
    const data = await goodFolder();
    const typed = await type('ask', 'drill-trial', '--data', data, '--out', join(data, 'x'.repeat(300)));
    expect(typed.exit).toBe(2);
    expect(typed.err).toContain('What to do');
  });
});

describe('a capture that is no capture', () => {
  const layout = sharedReference('swing/layout.json');
  const swing = sharedReference('swing/real-swing.c3d');

  it.skipIf(layout === null || swing === null)('cut short: refused with the place', async () => {
    const folder = await newFolder('capture.c3d');
    const bytes = await readFile(swing!);
    for (const length of [0, 10, 512, 5000, bytes.length - 1000]) {
      await writeFile(folder, bytes.subarray(0, length));
      const typed = await type('measure', '--capture', folder, '--layout', layout!, '--json');
      expect(typed.exit).toBe(1);
      const { problems } = JSON.parse(typed.out) as { problems: { where: string; remedy: string }[] };
      expect(problems[0]?.where).toMatch(/capture byte \d+/);
      expect(problems[0]?.remedy).not.toBe('');
    }
  });
});
