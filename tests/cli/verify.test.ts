import { cp, mkdir, readFile, rm, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { studies } from '../../src/studies/index.ts';
import { newFolder, snapshot, trialRows, type, untidy, writeRows } from './harness.ts';

const LONG_MS = 120_000;
const PLAN = {
  study: 'drill-trial',
  question: 'Does the drill lean the shaft forward?',
  metric: { column: 'shaft_lean_impact_deg' },
  arms: { control: 'control', drill: ['drill'] },
  smallestChangeThatMatters: { value: 2, why: 'The coach sees 2 deg.' },
};

async function trial(): Promise<string> {
  return writeRows(
    trialRows({ golfersPerArm: 5, swingsPerSession: 4, arms: ['drill', 'control'], value: untidy }),
  );
}

/** A small trial with a plan, and its report. */
async function reported(): Promise<{ data: string; plan: string; report: string }> {
  const data = await trial();
  const plan = join(data, '..', 'plan.json');
  await writeFile(plan, JSON.stringify(PLAN));
  const report = join(data, '..', 'report');
  const asked = await type('ask', 'drill-trial', '--data', data, '--plan', plan, '--out', report);
  if (asked.exit !== 0) throw new Error(asked.err);
  return { data, plan, report };
}

/** Adds to the value of one swing. */
async function alter(data: string, by: number): Promise<void> {
  const file = join(data, 'swings.csv');
  const lines = (await readFile(file, 'utf8')).split('\n');
  const place = (lines[0] ?? '').split(',').indexOf('shaft_lean_impact_deg');
  const cells = (lines.find((line) => line.startsWith('G01-post')) ?? '').split(',');
  const row = lines.findIndex((line) => line.startsWith('G01-post'));
  cells[place] = String(Number(cells[place]) + by);
  lines[row] = cells.join(',');
  await writeFile(file, lines.join('\n'));
}

async function verified(...words: readonly string[]) {
  const { exit, out, err } = await type('verify', ...words, '--json');
  return { exit, err, json: out === '' ? null : JSON.parse(out) };
}

describe('verify, of a report', { timeout: LONG_MS }, () => {
  it('says identical where nothing changed, and changes nothing', async () => {
    const { data, plan, report } = await reported();
    const before = await snapshot(dirname(data));
    const { exit, out } = await type('verify', report, '--data', data, '--plan', plan);
    expect(exit).toBe(0);
    expect(out).toMatch(
      /^Identical: drill-trial, \d+ files of the report made again from 6 .* byte for byte/,
    );
    for (const name of ['finding.json', 'drill-trial.html'])
      expect((await type('verify', join(report, name), '--data', data, '--plan', plan)).exit).toBe(0);
    expect(await snapshot(dirname(data))).toEqual(before);
  });

  it('names the number that moved, by how much, and the file, after one value is changed', async () => {
    const { data, plan, report } = await reported();
    const then = JSON.parse(await readFile(join(report, 'finding.json'), 'utf8'));
    await alter(data, 4);
    const { exit, json } = await verified(report, '--data', data, '--plan', plan);
    expect(exit).toBe(1);
    expect(json.inputs).toMatchObject([{ file: 'swings.csv' }]);
    expect(json.versions).toEqual([]);
    const first = json.moved[0];
    expect(first.path).toBe(`estimates[${then.estimates[0].name}].value`);
    expect(first.was).toBe(then.estimates[0].value);
    const fresh = JSON.parse(
      (await type('ask', 'drill-trial', '--data', data, '--plan', plan, '--json')).out,
    );
    expect(first.now).toBe(fresh.estimates[0].value);
    // 4 deg in one of 4 swings of one of 5 golfers of the arm, about 4/4/5: more or less for where the golfer began.
    expect(Math.abs(first.by - 0.2)).toBeLessThan(0.1);
    expect(first.now - first.was).toBe(first.by);
  });

  it('names a plan that changed', async () => {
    const { data, plan, report } = await reported();
    await writeFile(
      plan,
      JSON.stringify({
        ...PLAN,
        smallestChangeThatMatters: { ...PLAN.smallestChangeThatMatters, value: 3 },
      }),
    );
    const { exit, json } = await verified(report, '--data', data, '--plan', plan);
    expect(exit).toBe(1);
    expect(json.inputs).toMatchObject([{ file: 'plan.json' }]);
    expect(json.moved).toContainEqual({
      path: 'smallestChange.value',
      kind: 'number',
      was: 2,
      now: 3,
      by: 1,
    });
  });

  it('names a version that differs, though no number moved', async () => {
    const { data, plan, report } = await reported();
    const file = join(report, 'finding.json');
    const text = await readFile(file, 'utf8');
    const { version } = JSON.parse(text).provenance;
    await writeFile(file, text.replace(`"version": "${version}"`, '"version": "0.0.9"'));
    const { exit, json } = await verified(report, '--data', data, '--plan', plan);
    expect(exit).toBe(1);
    expect(json).toMatchObject({ moved: [], versions: [{ was: '0.0.9', now: version }] });
    const { out } = await type('verify', report, '--data', data, '--plan', plan);
    expect(out).toContain('No number moved.');
    expect(out).toContain(`0.0.9 then, ${version} now`);
  });

  it('names a page and a table that were altered by hand, and a file that is missing', async () => {
    const { data, plan, report } = await reported();
    const page = join(report, 'drill-trial.html');
    await writeFile(page, (await readFile(page, 'utf8')).replace('<h1>', '<h1>Proven: '));
    const { exit, json } = await verified(report, '--data', data, '--plan', plan);
    expect(exit).toBe(1);
    expect(json.moved).toEqual([]);
    expect(json.files).toMatchObject([{ file: 'drill-trial.html' }]);
    await rm(join(report, 'estimates.csv'));
    expect((await verified(report, '--data', data, '--plan', plan)).json.files).toMatchObject([
      { file: 'drill-trial.html' },
      { file: 'estimates.csv', words: 'is missing from the report' },
    ]);
  });

  it('says what is wrong with a request: no report, no Finding in it, no data, no plan', async () => {
    const { data, report } = await reported();
    expect((await verified('nowhere', '--data', data)).exit).toBe(2);
    const odd = join(data, '..', 'odd.json');
    await writeFile(odd, '{"study": "drill-trial"}');
    expect((await verified(odd, '--data', data)).json.problems).toMatchObject([
      { found: expect.stringContaining('no Finding') },
    ]);
    expect((await verified(data, '--data', data)).exit).toBe(2);
    const without = await verified(report);
    expect(without.exit).toBe(2);
    expect(without.json.problems.map(({ where }: { where: string }) => where)).toEqual(['--data', '--plan']);
  });

  it('runs no command but those that answer, and reaches for no file outside the folder it was given', async () => {
    const { data, plan, report } = await reported();
    const file = join(report, 'finding.json');
    const finding = JSON.parse(await readFile(file, 'utf8'));
    const mark = join(data, '..', 'was-run');
    const notebook = join(data, '..', 'evil.ts');
    await writeFile(
      notebook,
      `// %%\nimport { writeFileSync } from 'node:fs';\nwriteFileSync('${mark}', '');\n`,
    );
    for (const command of [
      [`run ${notebook}`, '--data FOLDER'],
      ['ask drill-trial', '--data FOLDER', `--out ${mark}`],
      ['ask drill-trial', '--data FOLDER', '--unknown 3'],
      ['constructor'],
      [],
    ]) {
      const provenance = { ...finding.provenance, command };
      await writeFile(file, JSON.stringify({ ...finding, provenance }));
      expect((await verified(report, '--data', data, '--plan', plan)).exit).toBe(2);
    }
    await expect(readFile(mark)).rejects.toThrow();
    const inputs = [{ file: '../../../etc/passwd', sha256: '' }];
    const command = ['angle', '--definition isb-elbow', '--data POINTS', '--points shoulder=A'];
    await writeFile(
      file,
      JSON.stringify({ ...finding, provenance: { ...finding.provenance, inputs, command } }),
    );
    const { exit, json } = await verified(report, '--data', data);
    expect(exit).toBe(2);
    expect(JSON.stringify(json)).toContain(JSON.stringify(join(data, 'passwd')).slice(1, -1));
  });
});

/** The smallest question of each study, with the recipe that its cohort is drawn from. */
const ASKED: Readonly<Record<string, readonly [recipe: string, ...words: readonly string[]]>> = {
  'drill-trial': ['drill-before-after', '--metric', 'shaft_lean_impact_deg'],
  noise: ['noise-two-devices', '--metric', 'lag_delivery_deg', '--against', 'lag_top_deg'],
  'one-golfer': ['single-golfer-trend', '--seed', '4'],
  mechanism: ['mechanism-paths', '--predictor', 'elbow_extension_onset_ms'],
  instructors: ['instructors-none', '--seed', '3'],
  waveform: ['waveform-no-window', '--compare', 'arms-after', '--axis', 'percent', '--seed', '5'],
};

describe('verify, of every study', () => {
  it('knows them all', () => expect(Object.keys(ASKED).sort()).toEqual(Object.keys(studies).sort()));

  it.each(Object.keys(ASKED))(
    '%s: identical when asked again with the options that its page names',
    async (study) => {
      const [recipe, ...words] = ASKED[study]!;
      const data = await newFolder();
      await type('generate', '--recipe', recipe, '--seed', '2', '--out', data);
      const report = join(data, '..', 'report');
      expect(await type('ask', study, '--data', data, ...words, '--out', report)).toMatchObject({ exit: 0 });
      const page = await readFile(join(report, `${study}.html`), 'utf8');
      const shown = page
        .slice(page.indexOf('<h3>Run it again</h3>'))
        .replaceAll(/<[^>]*>/g, '')
        .replaceAll('&#39;', "'");
      for (let place = 0; place < words.length; place += 2)
        expect(shown).toContain(`${words[place]} ${words[place + 1]}`);
      const { exit, out } = await type('verify', report, '--data', data);
      expect(out).toMatch(/^Identical/);
      expect(exit).toBe(0);
    },
    LONG_MS,
  );
});

describe('verify, of what is no study of a roster', { timeout: LONG_MS }, () => {
  const ELBOW = fileURLToPath(new URL('../../notebooks/data/elbow', import.meta.url));
  const POINTS =
    'shoulder=AcromionR,lateral_epicondyle=LateralEpicondyleR,medial_epicondyle=MedialEpicondyleR,' +
    'radial_styloid=RadialStyloidR,ulnar_styloid=UlnarStyloidR';

  it('an angle: identical; and a point that is moved moves it, by so much', async () => {
    const data = await newFolder();
    await cp(ELBOW, data, { recursive: true });
    const report = join(data, '..', 'report');
    const words = ['--definition', 'isb-elbow', '--points', POINTS, '--steps', '51'];
    const made = await type('angle', ...words, '--data', join(data, 'points.csv'), '--out', report);
    expect(made.exit, made.err).toBe(0);
    expect((await type('verify', report, '--data', data)).out).toMatch(/^Identical/);

    const file = join(data, 'points.csv');
    const lines = (await readFile(file, 'utf8')).split('\n');
    const cells = lines[51]!.split(',');
    const place = lines[0]!.split(',').indexOf('UlnarStyloidR_x');
    cells[place] = String(Number(cells[place]) + 5);
    lines[51] = cells.join(',');
    await writeFile(file, lines.join('\n'));
    const { exit, json } = await verified(report, '--data', data);
    expect(exit).toBe(1);
    expect(json.inputs).toMatchObject([{ file: 'points.csv' }]);
    const flexion = json.moved.find(({ path }: { path: string }) => /^estimates\[.*\]\.value$/.test(path));
    expect(flexion.now - flexion.was).toBeCloseTo(flexion.by, 9);
    expect(flexion.by).not.toBe(0);
  });

  it.each([
    [
      ...['plan', '--recipe', 'drill-parallel-effect', '--effect', '4', '--change', '1'],
      ...['--draws', '200', '--golfers', '20', '--swings', '6'],
    ],
    ['calibrate', '--study', 'one-golfer', '--cohorts', '3', '--seed', '2'],
  ])('%s: identical; a number that was written over is named, with how far it is off', async (...words) => {
    const report = await newFolder();
    const made = await type(...words, '--out', report);
    expect(made.exit, made.err).toBe(0);
    expect((await type('verify', report)).out).toMatch(/^Identical/);

    const file = join(report, 'finding.json');
    const finding = JSON.parse(await readFile(file, 'utf8'));
    const [first] = finding.estimates.filter(({ value }: { value: number | null }) => value !== null);
    first.value += 0.25;
    await writeFile(file, JSON.stringify(finding));
    const { exit, json } = await verified(report);
    expect(exit).toBe(1);
    const moved = json.moved.filter(({ path }: { path: string }) => /^estimates\[.*\]\.value$/.test(path));
    expect(moved).toHaveLength(1);
    expect(moved[0].by).toBeCloseTo(-0.25, 9);
  });
});

describe('verify, of a notebook', () => {
  const NOTEBOOK = `// %% [markdown]
// # A mean

// %%
import { loadDataset } from 'proving-range/dataset';
import { notebook } from 'proving-range/notebook';

const dataset = await loadDataset(notebook.dataDir);
if (!dataset.valid) throw new Error('not valid');
const values = dataset.value.tables.swings.column('shaft_lean_impact_deg');
const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
({ mean, seed: notebook.seed });
`;

  it(
    'runs it again from its own .ipynb, and names the cell and the number that moved',
    async () => {
      const data = await trial();
      const source = join(data, '..', 'mean.ts');
      const ran = join(data, '..', 'ran');
      await writeFile(source, NOTEBOOK);
      expect((await type('run', source, '--data', data, '--seed', '9', '--out', ran)).exit).toBe(0);
      // Somewhere else, without the notebook: what was run is in the .ipynb.
      const alone = await newFolder();
      await cp(ran, alone, { recursive: true });
      const same = await type('verify', alone, '--data', data);
      expect(same.out).toContain('Identical: mean.ipynb and mean.html');
      expect(same.out).toContain('seed 9');
      expect(same.exit).toBe(0);
      const was = JSON.parse(await readFile(join(ran, 'mean.ipynb'), 'utf8')).cells[1].outputs[0].data;
      await alter(data, 8);
      const { exit, json } = await verified(alone, '--data', data);
      expect(exit).toBe(1);
      expect(json.inputs).toMatchObject([{ file: 'swings.csv' }]);
      const moved = json.moved.find(({ path }: { path: string }) => path === 'cell 2, output 1.mean');
      expect(moved.was).toBe(was['application/json'].mean);
      // 8 deg in one of 10 golfers x 2 visits x 4 swings.
      expect(moved.by).toBeCloseTo(0.1, 10);
    },
    LONG_MS,
  );

  it(
    'a page alone needs its notebook, and one that was changed is said to be so',
    async () => {
      const data = await trial();
      const source = join(data, '..', 'mean.ts');
      const ran = join(data, '..', 'ran');
      await writeFile(source, NOTEBOOK);
      await type('run', source, '--data', data, '--out', ran);
      const alone = await newFolder();
      await mkdir(alone);
      await cp(join(ran, 'mean.html'), join(alone, 'mean.html'));
      const page = join(alone, 'mean.html');
      expect((await verified(page, '--data', data)).json.problems).toMatchObject([{ where: '--notebook' }]);
      expect((await verified(page, '--data', data, '--notebook', source)).exit).toBe(0);
      await writeFile(source, NOTEBOOK.replace('# A mean', '# The mean'));
      const changed = await verified(page, '--data', data, '--notebook', source);
      expect(changed.exit).toBe(1);
      expect(changed.json.inputs).toMatchObject([{ file: 'mean.ts' }]);
    },
    LONG_MS,
  );
});
