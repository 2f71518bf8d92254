import { execFileSync } from 'node:child_process';
import { copyFile, mkdir, readdir, readFile, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import Papa from 'papaparse';
import { SaxesParser } from 'saxes';
import { describe, expect, it } from 'vitest';
import { swingFile, swingLayout } from '../bench/swing-file.ts';
import { xlsxBytes } from '../dataset/import/new-xlsx.ts';
import { FIVE_POINTS } from '../kinematics/angle/elbow-data.ts';
import { writeC3d } from '../kinematics/write-c3d.ts';
import { newFolder, type Typed, trialRows, type, untidy, writeRows } from './harness.ts';
import { drill, ESCAPE, hostileIds, obeyed } from './hostile-words.ts';

const LONG_MS = 180_000;
/** A line that could pass for ours, were its line end obeyed. */
const FORGED = 'x\nThe report: forged';
/** What every name here may hold at once: markup, a command of a shell, quotes, what a terminal obeys. */
const NAME = `<script>owned</script> $(touch owned) \`touch owned\` 'a' "b" ${ESCAPE}`;
/** The same as far as the name of a file goes that a person would have. */
const FILE = "=1+1 <b> $(touch owned) `touch owned` 'a' & ; # x";
const LONG = 'L'.repeat(10_000);

/** Types a command and looks at what it says: nothing obeyed, no line of another's, no word without end, no stack. */
async function said(...words: readonly string[]): Promise<Typed> {
  const typed = await type(...words);
  const all = typed.out + typed.err;
  expect(all).not.toMatch(obeyed);
  expect(all).not.toMatch(/^The report: forged/m);
  // A document is whole.
  if (!words.includes('--json')) expect(all).not.toMatch(/L{1000}/);
  expect(all).not.toMatch(/^\s+at .*(\.ts|node:)/m);
  return typed;
}

/** The commands that a text prints, each as the words a POSIX shell makes of it. */
function printedCommands(text: string): string[][] {
  return [...text.matchAll(/npm run --silent cli -- (.+)$/gm)].map(([, line = '']) =>
    // The shell itself says what it makes of the line; what it would run leaves a mark.
    execFileSync('sh', ['-c', `printf '%s\\0' ${line}`], { encoding: 'utf8' })
      .split('\0')
      .slice(0, -1),
  );
}

/** Reads it as XML; a fault throws. */
function readXml(text: string): void {
  const parser = new SaxesParser({ xmlns: true });
  parser.on('error', (error) => {
    throw error;
  });
  parser.on('opentag', ({ name, attributes }) => {
    if (name === 'script' || Object.keys(attributes).some((key) => key.startsWith('on')))
      throw new Error(`a drawing with ${name}`);
  });
  parser.write(text).close();
}

/** Our own script aside, a page has no markup that was typed. */
function checkPage(html: string): void {
  const own = html
    .replace(/<script>[\s\S]*?<\/script>/g, '')
    .replace(/<script type="application\/json"[^>]*>[\s\S]*?<\/script>/g, '');
  expect(own).not.toMatch(obeyed);
  expect(own).not.toMatch(/<script>owned|<b>G01|<script>window|<img src=x/);
  for (const [drawing] of own.matchAll(/<svg[\s\S]*?<\/svg>/g))
    readXml(
      drawing.replace(
        '<svg',
        drawing.includes('xmlns=') ? '<svg' : '<svg xmlns="http://www.w3.org/2000/svg"',
      ),
    );
}

/** No cell of a table for reading begins as a formula does, unless it is a number. */
function checkTable(text: string): void {
  const { data, errors } = Papa.parse<string[]>(text.trimEnd());
  expect(errors.filter((error) => error.type !== 'Delimiter')).toEqual([]);
  for (const cell of data.flat())
    if (!/^-?[\d.]+(e[+-]?\d+)?$/.test(cell)) expect(cell).not.toMatch(/^\s*[=+\-@＝\t\r]/);
}

async function checkFiles(folder: string): Promise<string[]> {
  const entries = await readdir(folder, { recursive: true, withFileTypes: true });
  const names = entries.filter((one) => one.isFile()).map((one) => join(one.parentPath, one.name));
  expect(new Set(names.map((name) => name.toLowerCase())).size).toBe(names.length);
  for (const name of names) {
    const text = await readFile(name, 'utf8');
    if (name.endsWith('.html')) checkPage(text);
    if (name.endsWith('.svg')) readXml(text);
    if (name.endsWith('.svg')) expect(text).not.toMatch(obeyed);
  }
  return names.map((name) => name.slice(folder.length + 1)).sort();
}

/** A trial of hostile ids, arms and titles, its plan beside it. */
async function hostileTrial() {
  const rows = trialRows({
    golfersPerArm: 7,
    swingsPerSession: 2,
    arms: ['control', drill],
    value: (g, arm, phase, s) => untidy(g, arm === drill ? 'drill' : arm, phase, s),
  });
  const { golfers = [], sessions = [], assignments = [], swings = [] } = rows;
  const names = new Map(golfers.map(({ golfer_id }, k) => [golfer_id, hostileIds[k]]));
  for (const table of [golfers, sessions, assignments])
    for (const row of table) row.golfer_id = names.get(row.golfer_id);
  for (const golfer of golfers)
    Object.assign(golfer, { plays: 'right', age_band: '30-39', consent_scope: 'share', '=own <b>': drill });
  for (const swing of swings) swing.club = '<i>=club</i>';
  const data = join(dirname(await writeRows(rows)), 'data');
  const folder = join(dirname(data), FILE);
  const plan = join(dirname(data), `${FILE}.json`);
  await writeFile(
    plan,
    JSON.stringify({
      study: 'drill-trial',
      question: `${NAME} ${FORGED}?`,
      metric: { column: 'shaft_lean_impact_deg' },
      arms: { control: 'control', drill: [drill] },
      smallestChangeThatMatters: { value: 1, why: `${NAME} ${LONG}` },
    }),
  );
  return { data, folder, plan, base: dirname(data) };
}

describe('hostile text, command by command', () => {
  it(
    'run: a page that parses and a document whose texts obey nothing, of hostile data, title, cells and error',
    async () => {
      const { data, base } = await hostileTrial();
      const notebook = join(base, 'hostile.ts');
      const json = JSON.stringify(NAME);
      await writeFile(
        notebook,
        `// %% [markdown]\n// # A title <script>owned</script> <img src=x onerror=owned>\n\n// %% <b>G01 title\nimport { loadDataset } from 'proving-range/dataset';\nimport { notebook } from 'proving-range/notebook';\nconst loaded = await loadDataset(notebook.dataDir);\nif (!loaded.valid) throw new Error('no data');\nconst ids = loaded.value.tables.golfers.column('golfer_id').map((golfer) => ({ golfer, ${json}: '=1+1 </script>' }));\nids;\n\n// %%\nconsole.log(${json});\n${json};\n\n// %%\nnotebook.markdown(${json} + '\\n\\n[go](javascript:owned)');\n\n// %%\nthrow new Error(${json} + ${JSON.stringify(` ${FORGED}`)});\n`,
      );
      const out = join(base, 'run');
      const ran = await type('run', notebook, '--data', data, '--out', out);
      expect(ran.exit, ran.err).toBe(1);
      expect(ran.out + ran.err).not.toMatch(obeyed);
      expect(ran.out + ran.err).not.toMatch(/^\s+at /m);
      expect(ran.err).not.toMatch(/^The report: forged/m);
      expect(await checkFiles(out)).toEqual(['hostile.html', 'hostile.ipynb']);
      const page = await readFile(join(out, 'hostile.html'), 'utf8');
      expect(page).toContain('&lt;script&gt;owned');
      expect(page).toContain('⟨U+001B⟩[31mred⟨U+202E⟩');
      expect(page).not.toMatch(/href="javascript/);
      for (const id of ['&lt;b&gt;G01&lt;/b&gt;', '=HYPERLINK(&quot;http://x.invalid&quot;'])
        expect(page).toContain(id);
      const document = JSON.parse(await readFile(join(out, 'hostile.ipynb'), 'utf8'));
      const outputs = document.cells.flatMap((cell: { outputs?: unknown[] }) => cell.outputs ?? []);
      expect(outputs.length).toBeGreaterThan(4);
      const texts: string[] = [];
      const collect = (value: unknown): void => {
        if (typeof value === 'string') texts.push(value);
        else if (typeof value === 'object' && value !== null)
          for (const one of Object.values(value)) collect(one);
      };
      collect(outputs);
      for (const text of texts) expect(text).not.toMatch(obeyed);
      for (const { data: forms } of outputs as { data?: Record<string, string> }[])
        expect(forms?.['text/html'] ?? '').not.toMatch(/<script>|<img|<b>G01/);
      // Made again, it is the same.
      const verified = await said('verify', out, '--data', data);
      expect(verified.exit, verified.err).toBe(0);
    },
    LONG_MS,
  );

  it(
    'measure and inspect: names of captures, labels and channels',
    async () => {
      const base = await newFolder('captures');
      await mkdir(base);
      const good = swingFile({ seconds: 2 });
      const layout = join(dirname(base), 'layout.json');
      await writeFile(layout, JSON.stringify(swingLayout));
      await writeFile(join(base, `${FILE}.c3d`), good);
      await writeFile(join(base, '@x\u001b[31m.c3d'), good.subarray(0, 5000));
      await writeFile(join(base, '-y.csv'), 'not a capture\n');
      const out = join(dirname(base), 'out');
      const measured = await said('measure', '--captures', base, '--layout', layout, '--out', out);
      expect(measured.exit, measured.err).toBe(1);
      checkTable(await readFile(join(out, 'measure-report.csv'), 'utf8'));
      expect(await readFile(join(out, 'measure-report.csv'), 'utf8')).toContain(`'=1+1 <b>`);
      // The dataset keeps the name letter for letter.
      expect(await readFile(join(out, 'captures.csv'), 'utf8')).toContain(`,${FILE}.c3d,`);

      const channels = join(dirname(base), 'channels.json');
      const [landmark = ''] = Object.keys(swingLayout.landmarks);
      await writeFile(
        channels,
        JSON.stringify({
          ...swingLayout,
          landmarks: { ...swingLayout.landmarks, [landmark]: `${NAME} ${FORGED} ${LONG}` },
        }),
      );
      const missing = await said('measure', '--capture', join(base, `${FILE}.c3d`), '--layout', channels);
      expect(missing.exit).not.toBe(0);
      expect(missing.err).toContain('\\u001b[31m');

      // The writer refuses what a terminal obeys, so it is put in afterwards.
      const labelled = join(dirname(base), `${FILE}.c3d`);
      const bytes = writeC3d({
        rateHz: 100,
        labels: ['<script>owned</script>~[31mred^The report: forged', '=1+1'],
        points: Array.from({ length: 4 }, () => [[1, 2, 3] as const, null]),
      });
      const text = Buffer.from(bytes).toString('latin1').replace('~[31mred^', '\u001b[31mred\n');
      await writeFile(labelled, text, 'latin1');
      const inspected = await said('inspect', labelled);
      expect(inspected.exit, inspected.err).toBe(0);
      expect(inspected.out).toContain('\\u001b[31mred\\nThe report: forged');
      expect((await said('inspect', labelled, '--json')).exit).toBe(0);
    },
    LONG_MS,
  );

  it('fit and fit-sums: names of columns, in words and in SQL', async () => {
    const base = dirname(await newFolder());
    const outcome = `y"; DROP TABLE x --' ${ESCAPE} ${FORGED}`;
    const group = "=g'<b>";
    const rows = Array.from({ length: 24 }, (_, k) => [((k * 7) % 5) + (k % 3) * 2, k % 4, `G${k % 6} =1`]);
    await writeFile(join(base, 'd.csv'), Papa.unparse([[outcome, LONG, group], ...rows], { newline: '\n' }));
    const model = join(base, 'm.json');
    await writeFile(
      model,
      JSON.stringify({
        outcome,
        fixed: ['intercept', { column: LONG }],
        random: [{ group, effects: ['intercept'] }],
      }),
    );
    const data = join(base, 'd.csv');
    const [fit, sums] = [
      await said('fit', '--model', model, '--data', data, '--predict'),
      await said('fit-sums', '--model', model, '--data', data),
    ];
    expect([fit.exit, sums.exit], fit.err + sums.err).toEqual([0, 0]);
    expect(fit.out).toContain("=g'<b>");
    const { sql } = JSON.parse(
      (await said('fit-sums', '--model', model, '--table', `a"b.c'd`, '--json')).out,
    ) as {
      sql: string;
    };
    // Outside its quotes (ISO/IEC 9075-2) nothing of a name is left.
    const bare = sql.replace(/"(?:[^"]|"")*"|'(?:[^']|'')*'/g, '');
    expect(bare).not.toMatch(/DROP|forged|["']/);
    expect(sql).toContain(`"a""b"."c'd"`);
    await writeFile(model, JSON.stringify({ outcome: `${NAME} ${FORGED}`, fixed: ['intercept'] }));
    const wrong = await said('fit', '--model', model, '--data', data);
    expect(wrong.exit).toBe(2);
  });

  it(
    'angle: titles of columns, in the report and in the command it prints',
    async () => {
      const source = fileURLToPath(new URL('../reference/angles/isb_elbow.csv', import.meta.url));
      const base = dirname(await newFolder());
      const folder = join(base, FILE);
      await mkdir(folder);
      const file = join(folder, `${FILE}.csv`);
      const lines = (await readFile(source, 'utf8')).split('\n').slice(0, 6);
      const title = "=A <b>G01 $(touch owned) 'a'";
      lines[0] = (lines[0] ?? '').replaceAll('AcromionR', title);
      await writeFile(file, `${lines.join('\n')}\n`);
      const points = Object.entries({ ...FIVE_POINTS, shoulder: title })
        .map((entry) => entry.join('='))
        .join(',');
      const words = ['angle', '--definition', 'isb-elbow', '--data', file, '--points', points];
      const out = join(base, 'report');
      const asked = await said(...words, '--steps', '1', '--out', out);
      expect(asked.exit, asked.err).toBe(0);
      for (const name of await checkFiles(out)) {
        expect(name).toMatch(/^[a-z0-9-]+\.[a-z]+$/);
        if (name.endsWith('.csv')) checkTable(await readFile(join(out, name), 'utf8'));
      }
      expect((await said('verify', out, '--data', folder)).exit).toBe(0);
      const zip = join(base, 'a.zip');
      const packed = await said('export', out, '--data', folder, '--out', zip, '--date', '2031-01-01');
      expect(packed.exit).toBe(2);
      expect(packed.err).toContain('names that every system can unpack');
      const tidy = join(base, 'tidy');
      await mkdir(tidy);
      const plain = join(tidy, 'points.csv');
      await copyFile(file, plain);
      words[words.indexOf(file)] = plain;
      const again = join(base, 'plain');
      expect((await said(...words, '--steps', '1', '--out', again)).exit).toBe(0);
      const whole = await said('export', again, '--data', tidy, '--out', zip, '--date', '2031-01-01');
      expect(whole.exit, whole.err).toBe(0);
      await checkArchive(zip, points);
      expect((await said(...words.slice(0, -1), `${points},${NAME}=${FORGED}`)).exit).toBe(2);
    },
    LONG_MS,
  );

  it('import: titles, cells and names of sheets', async () => {
    const base = dirname(await newFolder());
    const sheet = join(base, 'lesson.xlsx');
    const rows = [
      ['date', 'golfer', 'plays', 'club speed (mph)', '=own <b>G01', `note ${FORGED}`, LONG],
      ['2026-03-04', "=cmd|' /C calc'!A0", 'right', 80, '<script>owned</script>', FORGED, LONG],
      ['2026-03-05', '<b>G01</b>', 'right', `fast ${FORGED}`, '+1', '', 'c'],
    ];
    await writeFile(sheet, xlsxBytes([{ name: "<b>'=1+1&", rows }]));
    const out = join(base, FILE);
    const proposed = await said('import', '--propose', sheet, '--out', out);
    expect(proposed.exit, proposed.err).toBe(0);
    expect(printedCommands(proposed.out)).toEqual([
      ['import', '--mapping', join(out, 'mapping.json'), '--data', 'my-roster'],
    ]);
    const mappingFile = join(out, 'mapping.json');
    const data = join(base, `${FILE} data`);
    expect((await said('import', '--mapping', mappingFile, '--data', data)).exit).toBe(1);
    const mapping = JSON.parse(await readFile(mappingFile, 'utf8'));
    mapping.sessions.phase = 'baseline';
    mapping.task = 'full';
    for (const column of mapping.columns) if (column.to === 'ask') column.to = null;
    await writeFile(mappingFile, JSON.stringify(mapping));
    const imported = await said('import', '--mapping', mappingFile, '--data', data);
    expect(imported.out, imported.err).toContain('2 imported');
    for (const name of await checkFiles(data)) expect(name).toMatch(/^[\w./-]+$/);
  });

  it(
    'init, generate, pack, unpack, allocate, lock, plan: the folder and the plan by hostile names',
    async () => {
      const { data, folder, plan, base } = await hostileTrial();
      const at = (name: string) => join(base, `${FILE} ${name}`);
      const roster = await said('init', folder);
      expect(printedCommands(roster.out)).toEqual([['check', folder]]);
      const packed = await said('pack', data, '--out', at('packed'));
      expect(packed.exit, packed.err).toBe(0);
      expect(printedCommands(packed.out)).toEqual([['unpack', at('packed'), '--out', 'NEW']]);
      expect((await said('unpack', at('packed'), '--out', at('back'))).exit).toBe(0);
      for (const table of ['golfers.csv', 'swings.csv'])
        expect(await readFile(join(at('back'), table), 'utf8')).toBe(
          await readFile(join(data, table), 'utf8'),
        );
      const sealed = await said(
        'allocate',
        '--data',
        data,
        '--plan',
        plan,
        '--seed',
        '8214007315529',
        '--out',
        at('list'),
      );
      expect(sealed.exit, sealed.err).toBe(0);
      expect(printedCommands(sealed.out)[0]?.slice(0, 3)).toEqual(['allocate', '--open', at('list')]);
      const opened = await said(
        'allocate',
        '--data',
        data,
        '--open',
        at('list'),
        '--seed',
        '8214007315529',
        '--golfer',
        '<b>G01</b>',
      );
      expect([0, 1, 2]).toContain(opened.exit);
      const locked = await said('lock', '--plan', plan, '--data', data, '--out', at('locked.json'));
      expect(locked.exit, locked.err).toBe(0);
      const planned = await said(
        'plan',
        '--data',
        data,
        '--plan',
        plan,
        '--draws',
        '200',
        '--golfers',
        '10',
        '--swings',
        '2',
        '--effect',
        '2',
        '--out',
        at('size'),
      );
      expect(planned.exit, planned.err).toBe(0);
      for (const name of await checkFiles(at('size')))
        if (name.endsWith('.csv')) checkTable(await readFile(join(at('size'), name), 'utf8'));
    },
    LONG_MS,
  );

  it('generate: the name and the texts of a recipe', async () => {
    const base = dirname(await newFolder());
    const recipe = JSON.parse(
      await readFile(new URL('../../synthetic/recipes/drill-no-effect.json', import.meta.url), 'utf8'),
    );
    const file = join(base, 'recipe.json');
    await writeFile(file, JSON.stringify({ ...recipe, name: NAME }));
    expect((await said('generate', '--recipe', file, '--seed', '7', '--out', join(base, 'no'))).exit).toBe(2);
    await writeFile(file, JSON.stringify({ ...recipe, title: `${NAME} ${FORGED}`, description: NAME }));
    const out = join(base, FILE);
    const made = await said('generate', '--recipe', file, '--seed', '7', '--out', out);
    expect(made.exit, made.err).toBe(0);
    expect(printedCommands(made.out)[0]?.slice(-2)).toEqual(['--data', out]);
    const readme = await readFile(join(out, 'README.md'), 'utf8');
    expect(readme).not.toMatch(obeyed);
    expect(readme).not.toMatch(/(?<!\\)<script|^The report: forged/m);
  });

  it(
    'export, share, pseudonymise, erase, verify: hostile ids and a plan of a hostile name',
    async () => {
      const { data, plan, base } = await hostileTrial();
      const at = (name: string) => join(base, `${FILE} ${name}`);
      const asked = await said('ask', 'drill-trial', '--data', data, '--plan', plan, '--out', at('report'));
      expect(asked.exit, asked.err).toBe(0);
      expect((await said('verify', at('report'), '--data', data, '--plan', plan)).exit).toBe(0);
      const zip = at('report.zip');
      const packed = await said('export', at('report'), '--data', data, '--plan', plan, '--out', zip);
      expect(packed.exit).toBe(2);
      expect(packed.err).toContain('names that every system can unpack');
      const plain = join(base, 'plan.json');
      await copyFile(plan, plain);
      const named = ['--data', data, '--plan', plain];
      expect((await said('ask', 'drill-trial', ...named, '--out', at('plain'))).exit).toBe(0);
      const whole = await said('export', at('plain'), ...named, '--out', zip);
      expect(whole.exit, whole.err).toBe(0);
      await checkArchive(zip);
      for (const words of [
        ['share', data, '--scope', 'share', '--out', at('shared')],
        ['pseudonymise', data, '--key', at('key'), '--out', at('coded')],
      ]) {
        const done = await said(...words);
        expect(done.exit, done.err).toBe(0);
      }
      const coded = await readFile(join(at('coded'), 'golfers.csv'), 'utf8');
      expect(coded).not.toMatch(/<script|HYPERLINK|SUM\(A1\)/);
      for (const id of ['<b>G01</b>', '"><script>window.owned=1</script>', '@SUM(A1)', '../x', '__proto__']) {
        const erased = await said('erase', id, '--data', data);
        expect(erased.exit, erased.err).toBe(0);
        const left = Papa.parse<string[]>(await readFile(join(data, 'golfers.csv'), 'utf8')).data.flat();
        expect(left).not.toContain(id);
      }
      expect((await said('erase', `${NAME} ${FORGED} ${LONG}`, '--data', data)).exit).toBe(2);
    },
    LONG_MS,
  );
});

/** Entries safe and unlike, metadata that is JSON, a README whose commands a shell reads as they are meant. */
async function checkArchive(zip: string, points?: string): Promise<void> {
  const folder = await newFolder('archive');
  const script =
    'import zipfile,sys\nz=zipfile.ZipFile(sys.argv[1])\nassert z.testzip() is None\nz.extractall(sys.argv[2])';
  execFileSync('python3', ['-c', script, zip, folder]);
  const names = await checkFiles(folder);
  for (const name of names) expect(name).not.toMatch(/(^|\/)\.\.(\/|$)|\\|^\//);
  for (const name of names)
    if (/^report\/.*\.csv$/.test(name)) checkTable(await readFile(join(folder, name), 'utf8'));
  const metadata = await readFile(join(folder, 'ro-crate-metadata.json'), 'utf8');
  expect(JSON.parse(metadata)['@graph'].length).toBeGreaterThan(5);
  expect(metadata).not.toMatch(obeyed);
  const readme = await readFile(join(folder, 'README.md'), 'utf8');
  expect(readme).not.toMatch(obeyed);
  expect(readme).not.toMatch(/^The report: forged/m);
  const commands = printedCommands(readme);
  expect(commands.length).toBeGreaterThan(0);
  for (const words of commands)
    for (const word of words.filter((one) => one.startsWith('ARCHIVE/')))
      expect([...names, ...names.map((name) => dirname(name))]).toContain(word.slice('ARCHIVE/'.length));
  if (points !== undefined) expect(commands.flat()).toContain(points);
  const verify = commands.find(([command]) => command === 'verify') ?? [];
  const verified = await said(...verify.map((word) => word.replace('ARCHIVE', folder)));
  expect(verified.exit, verified.out + verified.err).toBe(0);
}
