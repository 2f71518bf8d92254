import { mkdir, readdir, readFile, stat, writeFile } from 'node:fs/promises';
import { basename, dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { type MutableRows, newFolder, snapshot, trialRows, type, untidy, writeRows } from './harness.ts';

/** Two arms of eight of one kind; `change` sets what each consented to. */
function trial(change: (golfer: Record<string, unknown>, place: number) => void): Promise<string> {
  const rows: MutableRows = trialRows({
    golfersPerArm: 8,
    swingsPerSession: 2,
    arms: ['drill', 'control'],
    value: untidy,
  });
  rows.golfers?.forEach((golfer, place) => {
    Object.assign(golfer, { plays: 'right', age_band: '30-39', consent_scope: 'share' });
    change(golfer, place);
  });
  return writeRows(rows);
}

const nobody = (): void => undefined;

describe('share', () => {
  it('says what is in the export, who was left out and why, and that the numbers are for whoever made it', async () => {
    const data = await trial((golfer, place) => {
      if (place === 0) golfer.consent_scope = 'study';
      if (place === 1) golfer.consent_scope = null;
      if (place === 2) Object.assign(golfer, { age_band: '12-15' });
    });
    const out = join(data, '..', 'export');
    const { exit, out: said, err } = await type('share', data, '--scope', 'share', '--out', out);
    expect(exit).toBe(0);
    expect(said.replaceAll(dirname(data), 'HERE')).toMatchInlineSnapshot(`
      "Wrote an export to HERE/export: 13 golfers, 26 sessions, 52 swings, 0 captures.
      Golfers left out: 1 consent, 1 minor, 1 narrower consent.
      Cells emptied: none.
      "
    `);
    expect(err.replaceAll(dirname(data), 'HERE')).toMatchInlineSnapshot(`
      "These numbers are for you and not to be handed on with the export: together they can single somebody out. Its README.md says what may be said.
      Who is in this export is remembered in .shares.jsonl of the dataset, so that the next one can be kept apart from it.
      Whether the export may be handed on, and to whom, is settled by the law of the place and by what the golfers were told: ask whoever answers for data protection where you are.
      "
    `);
    expect((await readdir(out)).sort()).toEqual([
      'README.md',
      'assignments.csv',
      'datapackage.json',
      'golfers.csv',
      'sessions.csv',
      'swings.csv',
    ]);
  });

  it('leaves out a minor without a guardian’s consent, and takes one with it', async () => {
    const minors = (by: string) => (golfer: Record<string, unknown>) =>
      Object.assign(golfer, { age_band: '12-15', consent_by: by });
    const [self, guardian] = await Promise.all([trial(minors('self')), trial(minors('guardian'))]);
    const alone = await type('share', self, '--scope', 'share', '--out', join(self, '..', 'x'));
    expect(alone.exit).toBe(1);
    expect(alone.err).toContain('minors with that of a guardian');
    const both = await type(
      'share',
      guardian,
      '--scope',
      'share',
      '--out',
      join(guardian, '..', 'x'),
      '--json',
    );
    expect(JSON.parse(both.out)).toMatchObject({ golfers: 16, leftOut: { minor: 0 } });
  });

  it('says of a second export that the first is remembered', async () => {
    const data = await trial(nobody);
    await type('share', data, '--scope', 'share', '--out', join(data, '..', 'a'));
    const { out, exit } = await type('share', data, '--scope', 'share', '--out', join(data, '..', 'b'));
    expect(exit).toBe(0);
    expect(out).toContain('Earlier exports of this roster: 1.');
    const files = Object.keys(await snapshot(join(data, '..', 'b')));
    expect(files.some((path) => path.includes('shares'))).toBe(false);
  });

  it('says all that is wrong with a request at once (2): scope, taken folder; and no folder', async () => {
    const data = await trial(nobody);
    const taken = join(data, '..', 'taken');
    await mkdir(taken);
    await writeFile(join(taken, 'mine.txt'), 'mine');
    const { exit, err } = await type('share', data, '--scope', 'everybody', '--out', taken);
    expect(exit).toBe(2);
    expect(err).toContain('one of coaching, study, share');
    expect(err).toContain('which exists and is not empty');
    expect(await readdir(taken)).toEqual(['mine.txt']);
    expect((await type('share', '--scope', 'share', '--out', join(data, '..', 'x'))).exit).toBe(2);
    expect((await type('share', data, '--out', join(data, '..', 'x'))).exit).toBe(2);
    const key = await type(
      'share',
      data,
      '--scope',
      'share',
      '--out',
      join(data, '..', 'x'),
      '--key',
      join(data, 'k'),
    );
    expect(key.exit).toBe(2);
  });

  it('refuses where nobody is left, and data at fault (1); nothing is written and nothing remembered', async () => {
    const data = await trial((golfer) => Object.assign(golfer, { consent_scope: 'coaching' }));
    const before = await snapshot(dirname(data));
    const few = await type('share', data, '--scope', 'study', '--out', join(data, '..', 'x'));
    expect(few.exit).toBe(1);
    expect(few.err).toContain('no group of five golfers who agreed to "study"');
    expect(await snapshot(dirname(data))).toEqual(before);
    await writeFile(join(data, 'swings.csv'), 'swing_id\n');
    expect((await type('share', data, '--scope', 'coaching', '--out', join(data, '..', 'x'))).exit).toBe(1);
    const nowhere = await newFolder();
    const missing = await type('share', nowhere, '--scope', 'share', '--out', join(data, '..', 'x'));
    expect(missing.exit).toBe(1);
    await expect(stat(join(dirname(nowhere), 'x'))).rejects.toThrow();
  });

  it('is refused while another process writes the roster (1), and leaves no export that is not remembered', async () => {
    const data = await trial(nobody);
    const lock = join(dirname(data), `.${basename(data)}.lock`);
    await writeFile(lock, JSON.stringify({ pid: 1, started: '1', host: 'another machine', key: 'x' }));
    const out = join(data, '..', 'x');
    const { exit, err } = await type('share', data, '--scope', 'share', '--out', out);
    expect(exit).toBe(1);
    expect(err).toContain('is being written by another process');
    await expect(stat(out)).rejects.toThrow();
    expect(await readFile(join(data, 'golfers.csv'), 'utf8')).toContain('G01');
  });
});
