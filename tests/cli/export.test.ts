import { execFileSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import { mkdir, readdir, readFile, stat, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { sha256Hex } from '../../src/dataset/index.ts';
import { findChromium } from '../../src/report/index.ts';
import { crateFaults } from '../report/crate-faults.ts';
import { newFolder, trialRows, type, untidy, writeRows } from './harness.ts';

const LONG_MS = 120_000;
const PLAN = {
  study: 'drill-trial',
  question: 'Does the drill lean the shaft forward?',
  metric: { column: 'shaft_lean_impact_deg' },
  arms: { control: 'control', drill: ['drill'] },
  smallestChangeThatMatters: { value: 2, why: 'The coach sees 2 deg.' },
};

/** A trial whose golfers consented as given, with its plan and report. */
async function reported(
  scopeOf: (golfer: number) => string,
  plan: object = PLAN,
  golfersPerArm = 6,
  change: (golfer: Record<string, unknown>, place: number) => void = () => undefined,
) {
  const rows = trialRows({
    golfersPerArm,
    swingsPerSession: 4,
    arms: ['drill', 'control'],
    value: untidy,
  });
  rows.golfers?.forEach((golfer, place) => {
    Object.assign(golfer, { plays: 'right', age_band: '30-39', consent_scope: scopeOf(place) });
    change(golfer, place);
  });
  const data = await writeRows(rows);
  const base = join(data, '..');
  const planFile = join(base, 'plan.json');
  await writeFile(planFile, JSON.stringify(plan));
  const report = join(base, 'report');
  const asked = await type('ask', 'drill-trial', '--data', data, '--plan', planFile, '--out', report);
  if (asked.exit !== 0) throw new Error(asked.err);
  return { base, data, plan: planFile, report, out: join(base, 'report.zip') };
}

/** Unpacks by Python's zipfile, which refuses a broken archive, and gives every file by its path. */
async function unpack(archive: string): Promise<{ folder: string; files: Map<string, string> }> {
  const folder = await newFolder('archive');
  const script =
    'import zipfile,sys\nz=zipfile.ZipFile(sys.argv[1])\nassert z.testzip() is None\nz.extractall(sys.argv[2])';
  execFileSync('python3', ['-c', script, archive, folder]);
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  const files = new Map<string, string>();
  for (const entry of entries.filter((found) => found.isFile())) {
    const path = join(entry.parentPath, entry.name);
    files.set(path.slice(folder.length + 1), await readFile(path, 'latin1'));
  }
  return { folder, files };
}

/** The commands of a README as words to type, the archive being in `folder`. */
function commandsOf(readme: string, folder: string): string[][] {
  return [...readme.matchAll(/^ {4}npm run --silent cli -- (.+)$/gm)].map((match) =>
    (match[1] ?? '').replaceAll('ARCHIVE', folder).split(' '),
  );
}

describe('export', () => {
  it(
    'packs what a stranger needs: the README followed in a scratch folder gives the identical Finding',
    async () => {
      const { data, plan, report, out, base } = await reported(() => 'share');
      const done = await type('export', report, '--data', data, '--plan', plan, '--out', out);
      expect(done).toMatchObject({ exit: 0, err: '' });
      const { folder, files } = await unpack(out);
      expect([...files.keys()]).toEqual(
        expect.arrayContaining(['README.md', 'ro-crate-metadata.json', 'data/swings.csv', 'plan/plan.json']),
      );
      for (const name of await readdir(report))
        expect(files.get(`report/${name}`)).toBe(await readFile(join(report, name), 'latin1'));
      const [verify, ask] = commandsOf(files.get('README.md') ?? '', folder);
      const verified = await type(...verify!);
      expect(verified.out).toMatch(/^Identical/);
      expect(verified.exit).toBe(0);
      const again = join(base, 'again');
      expect((await type(...ask!.map((word) => (word === 'again' ? again : word)))).exit).toBe(0);
      expect(await readFile(join(again, 'finding.json'), 'utf8')).toBe(
        await readFile(join(report, 'finding.json'), 'utf8'),
      );
      // The metadata: the musts of RO-Crate 1.2, and the hash of every file but itself.
      const metadata = Buffer.from(files.get('ro-crate-metadata.json') ?? '', 'latin1').toString('utf8');
      const paths = [...files.keys()].map((path) => ({ path }));
      expect(crateFaults(metadata, paths)).toEqual([]);
      const described = (JSON.parse(metadata)['@graph'] as Record<string, string>[]).filter(
        (entity) => entity.sha256 !== undefined,
      );
      expect(described).toHaveLength(files.size - 1);
      for (const entity of described)
        expect(sha256Hex(Buffer.from(files.get(entity['@id'] ?? '') ?? '', 'latin1'))).toBe(entity.sha256);
      // The same again gives the same bytes, and nothing is written over.
      const second = join(base, 'second.zip');
      await type('export', report, '--data', data, '--plan', plan, '--out', second);
      expect(Buffer.compare(await readFile(out), await readFile(second))).toBe(0);
      expect((await type('export', report, '--data', data, '--plan', plan, '--out', out)).exit).toBe(2);
    },
    LONG_MS,
  );

  it(
    'packs of a folder with mixed consent an export of those who agreed, and a report made again from it',
    async () => {
      // Golfers 1, 2 and 9 did not agree (an empty cell covers nothing); golfer 4 is a minor, and agreed without a guardian.
      const scopes: Readonly<Record<number, string>> = { 0: 'study', 1: '', 8: 'coaching' };
      const { base, data, plan, report, out } = await reported(
        (golfer) => scopes[golfer] ?? 'share',
        PLAN,
        10,
        (golfer, place) => {
          if (place === 3) golfer.age_band = '12-15';
        },
      );
      const words = ['export', report, '--data', data, '--plan', plan];
      const key = join(base, 'key');
      await writeFile(key, 'k'.repeat(40));
      const { exit, out: said, err } = await type(...words, '--key', key, '--out', out);
      expect(exit).toBe(0);
      expect(err).toContain('16 of 20 golfers are in the archive: 4 did not consent to sharing');
      expect(err).toContain('Do not hand your report on beside it');
      expect(said).toContain('16 golfers, known here by codes only');
      const { folder, files } = await unpack(out);
      // No old id anywhere, of nobody; the descriptor's columns have examples, of which G01 is one.
      const ids = /(?<![\w-])G(?:0[1-9]|1\d|20)(?!\w)/;
      for (const [path, text] of files) {
        const seen = path.endsWith('.html') ? text.replaceAll(/<script[\s\S]*?<\/script>/g, '') : text;
        if (path !== 'data/datapackage.json')
          expect(`${path} ${ids.exec(seen)?.[0]}`).toBe(`${path} undefined`);
      }
      expect(files.get('data/golfers.csv')?.trim().split('\n')).toHaveLength(1 + 16);
      expect(files.get('data/swings.csv')?.trim().split('\n')).toHaveLength(1 + 16 * 2 * 4);
      // No day on which anybody came.
      expect(files.get('data/sessions.csv')).not.toContain('2031');
      const finding = JSON.parse(files.get('report/finding.json') ?? '');
      expect(finding.design.golfers).toBe(16);
      expect(finding.estimates[0].value).not.toBe(
        JSON.parse(await readFile(join(report, 'finding.json'), 'utf8')).estimates[0].value,
      );
      const readme = Buffer.from(files.get('README.md') ?? '', 'latin1').toString('utf8');
      expect(readme).toContain('No row of anybody else is in this archive');
      expect(readme).toContain('Report and data belong together');
      // How many were left out may be one, so it stands nowhere.
      expect(readme).not.toMatch(/\b(?:20|4) golfers|of 20/);
      const [verify] = commandsOf(readme, folder);
      expect((await type(...verify!)).exit).toBe(0);
      // With the key the same bytes again; the export is remembered as one.
      const second = join(base, 'second.zip');
      expect((await type(...words, '--key', key, '--out', second)).exit).toBe(0);
      expect(Buffer.compare(await readFile(out), await readFile(second))).toBe(0);
      expect((await readFile(join(data, '.shares.jsonl'), 'utf8')).trim().split('\n')).toHaveLength(32);
    },
    LONG_MS,
  );

  it(
    'refuses where fewer than five agreed, where a plan names one who did not, and where the report is of other data',
    async () => {
      const few = await reported((golfer) => (golfer < 4 ? 'share' : 'study'));
      const refused = await type(
        'export',
        few.report,
        '--data',
        few.data,
        '--plan',
        few.plan,
        '--out',
        few.out,
      );
      expect(refused.exit).toBe(1);
      expect(refused.err).toContain('share for 4 of 12 golfers; 8 for less than that (study or coaching)');

      const why = 'G03 asked for it.';
      const named = await reported(
        (golfer) => (golfer === 2 ? 'study' : 'share'),
        { ...PLAN, smallestChangeThatMatters: { value: 2, why } },
        7,
      );
      const words = ['export', named.report, '--data', named.data, '--plan', named.plan, '--out', named.out];
      expect(await type(...words)).toMatchObject({
        exit: 2,
        err: expect.stringContaining('golfers named in it: 1'),
      });

      const other = await reported(() => 'share');
      const swings = join(other.data, 'swings.csv');
      await writeFile(swings, (await readFile(swings, 'utf8')).replace(/,full,-?[\d.]+/, ',full,0.25'));
      const moved = await type(
        'export',
        other.report,
        '--data',
        other.data,
        '--plan',
        other.plan,
        '--out',
        other.out,
      );
      expect(moved.exit).toBe(1);
      expect(moved.err).toContain('swings.csv');
      expect(moved.err).toContain('Nothing was written');
      for (const { out } of [few, named, other]) expect(existsSync(out)).toBe(false);
    },
    LONG_MS,
  );

  it('says all that is wrong with a request at once', async () => {
    const { err, exit } = await type('export', 'nowhere', '--out', 'x.tar', '--date', '2031-13-01');
    expect(exit).toBe(2);
    for (const part of ['nowhere', '.zip', '--date']) expect(err).toContain(part);
  });

  it('refuses --pdf with a remedy where there is no browser', async () => {
    const { CHROMIUM } = process.env;
    process.env.CHROMIUM = '/nowhere/chromium';
    const { err, exit } = await type('export', 'nowhere', '--out', 'x.zip', '--pdf');
    if (CHROMIUM === undefined) delete process.env.CHROMIUM;
    else process.env.CHROMIUM = CHROMIUM;
    expect(exit).toBe(2);
    expect(err).toContain('--pdf: found no Chromium');
    expect(err).toContain('leave --pdf out');
  });

  it.skipIf(findChromium() === null)(
    'prints the page as PDF, the same bytes each time',
    async () => {
      const { base, data, plan, report } = await reported(() => 'share');
      const archives = ['a.zip', 'b.zip'].map((name) => join(base, name));
      for (const out of archives) {
        const done = await type('export', report, '--data', data, '--plan', plan, '--pdf', '--out', out);
        expect(done).toMatchObject({ exit: 0 });
      }
      expect(Buffer.compare(await readFile(archives[0]!), await readFile(archives[1]!))).toBe(0);
      const { files } = await unpack(archives[0]!);
      expect(files.get('report/drill-trial.pdf')).toMatch(/^%PDF-1\.[4-7]/);
      expect(files.get('report/drill-trial.pdf')).toMatch(/\/CreationDate \(D:20310412000000/);
    },
    LONG_MS,
  );
});

describe('export, of a notebook', () => {
  it(
    'packs the notebook, its run and the data; the README gives the identical run',
    async () => {
      const { base, data, out } = await reported(() => 'share');
      const source = join(base, 'count.ts');
      await writeFile(
        source,
        "// %% [markdown]\n// # How many\n\n// %%\nimport { readdir } from 'node:fs/promises';\nimport { notebook } from 'proving-range/notebook';\n\n(await readdir(notebook.dataDir)).length;\n",
      );
      const ran = join(base, 'ran');
      await type('run', source, '--data', data, '--out', ran);
      const done = await type('export', ran, '--data', data, '--date', '2031-05-01', '--out', out);
      expect(done).toMatchObject({ exit: 0, err: '' });
      const { folder, files } = await unpack(out);
      expect(files.get('notebook/count.ts')).toBe(await readFile(source, 'latin1'));
      expect(files.get('README.md')).toMatch(/^# How many\n/);
      const [verify, run] = commandsOf(files.get('README.md') ?? '', folder);
      expect((await type(...verify!)).out).toMatch(/^Identical/);
      const again = join(base, 'again');
      await mkdir(again);
      expect((await type(...run!.map((word) => (word === 'notebook-again' ? again : word)))).exit).toBe(0);
      expect((await stat(join(again, 'count.ipynb'))).isFile()).toBe(true);
    },
    LONG_MS,
  );

  it(
    'leaves out what imports left beside the data, and every file with a name that a mapping knows',
    async () => {
      const { base, data, out } = await reported(() => 'share');
      const mapping = { golfers: [{ golfer_id: 'G01', written: ['Ann Berg'] }], columns: [] };
      const beside: Readonly<Record<string, string>> = {
        'originals/a.csv': 'golfer\nAnn Berg\n',
        'originals/a-mapping.json': JSON.stringify(mapping),
        'import-log.jsonl': '{"import":1}\n',
        'erasures.csv': 'erasure\n',
        'notes.txt': 'BERG, ANN came late.\n',
        'kept.txt': 'nothing of anybody\n',
      };
      await mkdir(join(data, 'originals'));
      for (const [path, text] of Object.entries(beside)) await writeFile(join(data, path), text);
      const source = join(base, 'one.ts');
      await writeFile(
        source,
        "// %% [markdown]\n// # One\n\n// %%\nimport { notebook } from 'proving-range/notebook';\n\nnotebook.seed;\n",
      );
      const ran = join(base, 'ran');
      await type('run', source, '--data', data, '--out', ran);
      const done = await type('export', ran, '--data', data, '--date', '2031-05-01', '--out', out);
      expect(done).toMatchObject({ exit: 0, err: '' });
      const { files } = await unpack(out);
      const taken = [...files.keys()].filter((path) => path.startsWith('data/')).sort();
      expect(taken).toContain('data/kept.txt');
      expect(taken.filter((path) => /originals|import-log|erasures|notes/.test(path))).toEqual([]);
      for (const text of files.values()) expect(text).not.toMatch(/berg/i);
      expect(files.get('README.md')).toContain('What imports left beside the data');
      // A table with a name in it is not left out in silence: it is refused.
      const sessions = join(data, 'sessions.csv');
      const lines = (await readFile(sessions, 'utf8')).trimEnd().split('\n');
      await writeFile(
        sessions,
        lines.map((line, k) => `${line},${k === 0 ? 'device' : 'Ann Berg'}\n`).join(''),
      );
      const refused = await type('export', ran, '--data', data, '--out', join(base, 'b.zip'));
      expect(refused.exit).toBe(1);
      expect(refused.err).toContain('sessions.csv: found a name that a mapping of an import knows');
    },
    LONG_MS,
  );
});
