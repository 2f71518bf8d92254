import { mkdir, readFile, writeFile } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import {
  checkMapping,
  importFile,
  loadCurves,
  loadDataset,
  loadPlan,
  type Mapping,
  openQuestions,
  packDataset,
  proposeMapping,
  readColumns,
  sha256Hex,
} from '../../../src/dataset/index.ts';
import { inspectCapture, measureCapture } from '../../../src/kinematics/index.ts';
import { parsePercent, readRunNotebook } from '../../../src/notebook/index.ts';
import { fitDocument } from '../../../src/stats/index.ts';
import { generateCohort, loadRecipe } from '../../../src/synthetic/index.ts';
import { swingFile, swingLayout } from '../../bench/swing-file.ts';
import { csvOf } from '../../kinematics/write-csv.ts';
import { answered } from '../import/importing.ts';
import { xlsxBytes } from '../import/new-xlsx.ts';
import { ROSTER } from '../roster.ts';

/** What came of an input: whether it was taken, and every word that was said. */
export interface Said {
  readonly valid: boolean;
  readonly words: readonly string[];
}

export interface Kind {
  readonly json: boolean;
  seeds(folder: string): Promise<readonly Uint8Array[]> | readonly Uint8Array[];
  /** Gives the bytes to what a user gives them to. The folder is empty. */
  run(bytes: Uint8Array, folder: string): Promise<Said> | Said;
}

const ROOT = join(import.meta.dirname, '../../..');
const text = (content: string) => new TextEncoder().encode(content);
const json = (value: unknown) => text(JSON.stringify(value));
const file = (path: string) => readFile(join(ROOT, path));

const said = (valid: boolean, problems: readonly unknown[]): Said => ({
  valid,
  words: problems.map((problem) => JSON.stringify(problem)),
});

async function put(folder: string, files: Readonly<Record<string, string | Uint8Array>>): Promise<void> {
  for (const [name, content] of Object.entries(files)) {
    await mkdir(dirname(join(folder, name)), { recursive: true });
    await writeFile(join(folder, name), content);
  }
}

async function loadWith(folder: string, files: Readonly<Record<string, string | Uint8Array>>): Promise<Said> {
  await put(folder, { ...ROSTER, ...files });
  const { valid, problems } = await loadDataset(folder);
  return said(valid, problems);
}

const table = (name: string, content: string): Kind => ({
  json: false,
  seeds: () => [text(content)],
  run: (bytes, folder) => loadWith(folder, { [`${name}.csv`]: bytes }),
});

const SHEET = text(
  'date,time,golfer,plays,club speed (mph),right elbow flexion at impact (deg)\n' +
    '2026-03-04,10:00:00,Ann Berg,right,80.5,40\n2026-03-04,10:00:40,Ann Berg,right,81.5,n/a\n' +
    '2026-03-05,10:00:00,Tom Ek,left,92.0,41\n',
);

/** Answers whatever is asked with something allowed: an answer must not be able to break what follows. */
function withAnyAnswer(mapping: Mapping): Mapping {
  return answered(mapping, (open) => {
    for (const golfer of open.golfers) {
      if (golfer.golfer_id === 'ask') golfer.golfer_id = 'G99';
      if (golfer.plays === 'ask') golfer.plays = 'right';
      if (golfer.same === 'ask') golfer.same = 'yes';
    }
    for (const column of open.columns) {
      const asks = column.words?.some(({ means }) => means === 'ask');
      if (column.to === 'ask' || column.unit === 'ask' || asks) {
        column.to = null;
        delete column.unit;
        delete column.words;
      }
      if (column.convention === 'ask') column.convention = 'as-is';
    }
    if (open.reading.date_order === 'ask') open.reading.date_order = 'day-first';
    if (open.reading.two_figure_years === 'ask') open.reading.two_figure_years = 2000;
    if (open.reading.decimal === 'ask') open.reading.decimal = '.';
    if (open.reading.hidden_rows === 'ask') open.reading.hidden_rows = 'take';
    if (open.sessions.date === 'ask') open.sessions.date = '2026-03-04';
  });
}

async function importSheet(bytes: Uint8Array, name: string, folder: string): Promise<Said> {
  const proposal = proposeMapping(bytes, name);
  if (!proposal.ok) return said(false, proposal.problems);
  return imported(withAnyAnswer(proposal.mapping), bytes, folder);
}

async function imported(mapping: Mapping, source: Uint8Array, folder: string): Promise<Said> {
  const result = await importFile({ mapping, source, otherFile: true, data: join(folder, 'data') });
  if (!result.ok) return said(false, result.problems);
  const { counts, leftOut, emptied } = result.value;
  if (counts.rows !== counts.imported + counts.joined + counts.alreadyThere + counts.leftOut)
    throw new Error('a row is not accounted for');
  return said(true, [...leftOut, ...emptied]);
}

/** Every path a mutated mapping may take: its own check, its questions, then the import. */
async function runMapping(bytes: Uint8Array, folder: string): Promise<Said> {
  const value = parsed(bytes);
  if (value === undefined) return said(false, ['no JSON']);
  const checked = checkMapping(value);
  if (!checked.ok) return said(false, checked.problems);
  const questions = openQuestions(checked.mapping);
  const outcome = await imported(checked.mapping, SHEET, folder);
  return { ...outcome, words: [...outcome.words, ...questions.map((one) => JSON.stringify(one))] };
}

function parsed(bytes: Uint8Array): unknown {
  try {
    return JSON.parse(new TextDecoder().decode(bytes));
  } catch {
    return undefined;
  }
}

const LAYOUT_CAPTURE = swingFile({ seconds: 1, seed: 1 });

function measured(bytes: Uint8Array, fileName: string, layout: unknown): Said {
  const inspected = inspectCapture({ bytes, fileName });
  const result = measureCapture({ c3dBytes: bytes, fileName, layout });
  return said(result.ok, [
    ...(inspected.ok ? inspected.value.warnings : inspected.problems),
    ...(result.ok ? result.value.warnings : result.problems),
  ]);
}

const PACKED = { folder: '' };

/** The input kinds, by name; each goes through what a user would give such a file to. */
export const KINDS: Readonly<Record<string, Kind>> = {
  'golfers.csv': table('golfers', ROSTER['golfers.csv']!),
  'sessions.csv': table('sessions', ROSTER['sessions.csv']!),
  'swings.csv': table('swings', ROSTER['swings.csv']!),
  'datapackage.json': {
    json: true,
    seeds: async () => [
      await file('synthetic/demo/datapackage.json'),
      json({ title: 'x', resources: Object.keys(ROSTER).map((path) => ({ name: path.slice(0, -4), path })) }),
    ],
    run: (bytes, folder) => loadWith(folder, { 'datapackage.json': bytes }),
  },
  'plan.json': {
    json: true,
    seeds: async () => [await file('synthetic/demo/plan.json')],
    async run(bytes, folder) {
      await put(folder, { 'plan.json': bytes });
      const loaded = await loadPlan(join(folder, 'plan.json'));
      return said(loaded.valid, loaded.valid ? [] : loaded.problems);
    },
  },
  'mapping.json': {
    json: true,
    seeds() {
      const proposal = proposeMapping(SHEET, 'a.csv');
      if (!proposal.ok) throw new Error('the sheet must be readable');
      const mapping = withAnyAnswer(proposal.mapping);
      return [
        json(mapping),
        json({
          ...mapping,
          join: { by: 'time', tolerance_s: 5, offset_s: [{ from: '2026-03-04', offset_s: 0 }] },
        }),
      ];
    },
    run: runMapping,
  },
  'layout.json': {
    json: true,
    seeds: () => [json(swingLayout)],
    run(bytes) {
      const layout = parsed(bytes);
      return layout === undefined ? said(false, ['no JSON']) : measured(LAYOUT_CAPTURE, 'a.c3d', layout);
    },
  },
  'recipe.json': {
    json: true,
    seeds: async () => [
      await file('synthetic/recipes/drill-parallel-effect.json'),
      await file('synthetic/recipes/single-golfer.json'),
    ],
    async run(bytes, folder) {
      await put(folder, { 'recipe.json': bytes });
      const loaded = await loadRecipe(join(folder, 'recipe.json'));
      if (!loaded.valid) return said(false, loaded.problems);
      // A roster of thousands takes minutes, as it should.
      const golfers = /"golfers":(\d+)/.exec(JSON.stringify(loaded.recipe))?.[1];
      if (Number(golfers ?? 1) <= 5) generateCohort(loaded.recipe, 8);
      return said(true, []);
    },
  },
  'model.json': {
    json: true,
    seeds: modelSeeds,
    async run(bytes) {
      const model = parsed(bytes);
      if (model === undefined) return said(false, ['no JSON']);
      const read = readColumns('machines.csv', await file('tests/reference/models/machines.csv'));
      if (!read.ok) throw new Error('the data must be readable');
      const fitted = fitDocument(model, read.columns, { predict: false });
      return said(fitted.ok, fitted.ok ? [] : fitted.problems);
    },
  },
  'data of a model': {
    json: false,
    seeds: async () => [await file('tests/reference/models/machines.csv')],
    async run(bytes) {
      const read = readColumns('machines.csv', bytes);
      if (!read.ok) return said(false, read.problems);
      const [model] = await modelSeeds();
      const fitted = fitDocument(parsed(model!), read.columns, { predict: false });
      return said(fitted.ok, fitted.ok ? [] : fitted.problems);
    },
  },
  'spreadsheet.xlsx': {
    json: false,
    seeds: async () => [
      xlsxBytes([
        {
          rows: [
            ['date', 'golfer', 'plays', 'club speed (mph)'],
            [{ date: 46085 }, 'G01', 'right', 80.5],
            [{ date: 46086 }, 'G01', 'right', 81],
          ],
        },
      ]),
      await file('tests/reference/import/lesson-1900.xlsx'),
    ],
    run: (bytes, folder) => importSheet(bytes, 'a.xlsx', folder),
  },
  'spreadsheet.csv': {
    json: false,
    seeds: () => [SHEET, text(new TextDecoder().decode(SHEET).replaceAll(',', ';'))],
    run: (bytes, folder) => importSheet(bytes, 'a.csv', folder),
  },
  'swings.parquet': {
    json: false,
    async seeds(folder) {
      await put(join(folder, 'csv'), ROSTER);
      const packed = await packDataset(join(folder, 'csv'), join(folder, 'packed'));
      if (!packed.valid) throw new Error(JSON.stringify(packed.problems));
      PACKED.folder = join(folder, 'packed');
      return [await readFile(join(PACKED.folder, 'swings.parquet'))];
    },
    async run(bytes, folder) {
      // Its hash is made to fit: otherwise nothing but the hash would ever be looked at.
      const descriptor = JSON.parse(await readFile(join(PACKED.folder, 'datapackage.json'), 'utf8'));
      descriptor.resources = descriptor.resources.filter(({ name }: { name: string }) => name === 'swings');
      descriptor.resources[0].hash = `sha256:${sha256Hex(bytes)}`;
      const { 'swings.csv': _swings, ...others } = ROSTER;
      await put(folder, {
        ...others,
        'swings.parquet': bytes,
        'datapackage.json': JSON.stringify(descriptor),
      });
      const { valid, problems } = await loadDataset(folder);
      return said(valid, problems);
    },
  },
  'capture.c3d': {
    json: false,
    seeds: () => [LAYOUT_CAPTURE],
    run: (bytes) => measured(bytes, 'a.c3d', swingLayout),
  },
  'head of capture.c3d': {
    json: false,
    seeds: () => [LAYOUT_CAPTURE.subarray(0, 6000)],
    run: (bytes) =>
      measured(new Uint8Array(Buffer.concat([bytes, LAYOUT_CAPTURE.subarray(6000)])), 'a.c3d', swingLayout),
  },
  'capture.csv': {
    json: false,
    seeds: () => [csvOf(LAYOUT_CAPTURE).subarray(0, 20_000)],
    run: (bytes) => measured(bytes, 'a.csv', swingLayout),
  },
  'curves.csv': {
    json: false,
    seeds: () => [
      text(
        'swing_id,quantity,time_pct,value_deg\nW1,lag_angle,0,90\nW1,lag_angle,50,80\nW1,lag_angle,100,20\n',
      ),
    ],
    async run(bytes, folder) {
      await put(folder, { 'curves.csv': bytes });
      const { valid, problems } = await loadCurves(folder);
      return said(valid, problems);
    },
  },
  'notebook.ts': {
    json: false,
    seeds: async () => [await file('notebooks/angle.ts')],
    run(bytes) {
      const { problems } = parsePercent(new TextDecoder().decode(bytes));
      return said(problems.length === 0, problems);
    },
  },
  'notebook.ipynb': {
    json: true,
    seeds: async () => [shortened(await file('reports/angle-notebook/angle.ipynb'))],
    run: (bytes) => said(readRunNotebook(new TextDecoder().decode(bytes)) !== null, []),
  },
};

async function modelSeeds(): Promise<readonly Uint8Array[]> {
  const pair = JSON.parse((await file('tests/reference/models/machines_slope_REML.json')).toString()) as {
    model: unknown;
  };
  return [json(pair.model)];
}

/** Pictures are most of a notebook's bytes, and nothing reads them. */
function shortened(bytes: Uint8Array): Uint8Array {
  return json(
    JSON.parse(new TextDecoder().decode(bytes), (_, value: unknown) =>
      typeof value === 'string' && value.length > 5000 ? value.slice(0, 100) : value,
    ),
  );
}
