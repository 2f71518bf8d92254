import { mkdir, mkdtemp, readFile, rm, stat, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';
import { sha256Hex } from '../../dataset/index.ts';
import {
  asProvenance,
  type NotebookProvenance,
  type RunNotebook,
  readRunNotebook,
  runNotebook,
} from '../../notebook/index.ts';
import { compareDocuments, type Difference } from '../../report/index.ts';
import type { Progress } from '../progress.ts';
import { type CommandResult, type Fault, refused } from '../result.ts';
import { jsonBlock, type ReportGiven } from './report-given.ts';
import { changedInputs, verdictOf } from './verdict.ts';

export interface NotebookPlaces {
  readonly data: string | undefined;
  /** The notebook as it stands now, where it is not the one that was run. */
  readonly notebook: string | undefined;
}

/** Forms of a value in the order in which a difference is told: the first that differs says it best. */
const FORMS = [
  'application/vnd.proving-range.finding.v1+json',
  'application/json',
  'text/plain',
  'application/vnd.plotly.v1+json',
];

/** Runs a notebook again and says which cells show something else. */
export async function verifyNotebook(
  report: Extract<ReportGiven, { readonly kind: 'notebook' }>,
  places: NotebookPlaces,
  progress: Progress,
): Promise<CommandResult> {
  const ipynb = [...report.files].find(([name]) => name.endsWith('.ipynb'))?.[1];
  const page = [...report.files].find(([name]) => name.endsWith('.html'))?.[1];
  const ran = ipynb === undefined ? null : readRunNotebook(ipynb);
  const provenance = ran?.provenance ?? asProvenance(jsonBlock(page ?? '', 'provenance'));
  if (provenance === null) return refused(2, [notOurs()]);
  if (provenance.data.length > 0 && places.data === undefined) return refused(2, [noData(provenance)]);
  const scratch = await mkdtemp(join(tmpdir(), 'proving-range-verify-'));
  try {
    const path = await sourceAt(scratch, provenance, ran, report.folder, places.notebook);
    if (path === null) return refused(2, [noSource(provenance)]);
    progress.step('Running the notebook again');
    const out = join(scratch, 'out');
    const { files, problems } = await runNotebook({
      path,
      dataDir: provenance.data.length > 0 ? places.data! : null,
      outDir: out,
      seed: provenance.seed,
    });
    if (problems.length > 0) return refused(2, problems);
    const fresh = new Map<string, string>();
    for (const file of files) fresh.set(basename(file), await readFile(file, 'utf8'));
    return compareRuns(report.files, fresh, ran, provenance);
  } finally {
    await rm(scratch, { recursive: true, force: true });
  }
}

/**
 * The notebook to run: the one that was named; else the one that was run, from the .ipynb or from a file of that name
 * and SHA-256 beside the report or in notebooks/; null where there is none.
 */
export async function sourceAt(
  scratch: string,
  { notebook }: NotebookProvenance,
  ran: RunNotebook | null,
  folder: string,
  named: string | undefined,
): Promise<string | null> {
  if (named !== undefined) return named;
  const file = basename(notebook.file);
  for (const path of [join(folder, file), join('notebooks', file)])
    if ((await stat(path).catch(() => null))?.isFile() === true)
      if (sha256Hex(await readFile(path)) === notebook.sha256) return path;
  if (ran === null || ran.source === null) return null;
  if (sha256Hex(Buffer.from(ran.source)) !== notebook.sha256) return null;
  const made = join(scratch, 'source', file);
  await mkdir(join(scratch, 'source'));
  await writeFile(made, ran.source);
  return made;
}

/** A notebook that was run, set against what it shows now. */
export function compareRuns(
  was: ReadonlyMap<string, string>,
  now: ReadonlyMap<string, string>,
  before: RunNotebook | null,
  old: NotebookProvenance,
): CommandResult {
  const after = readRunNotebook([...now].find(([name]) => name.endsWith('.ipynb'))?.[1] ?? '');
  if (after === null) throw new Error('compareRuns: a notebook that was just run cannot be read.');
  const { provenance } = after;
  const inputs = changedInputs([old.notebook, ...old.data], [provenance.notebook, ...provenance.data]);
  const versions =
    old.version === provenance.version
      ? []
      : [{ what: provenance.package, was: old.version, now: provenance.version }];
  const differences = before === null ? [] : cellDifferences(before, after);
  const finds = inputs.length > 0 || versions.length > 0 || differences.length > 0;
  const files = [...was].flatMap(([file, text]) => {
    if (text === now.get(file)) return [];
    // Without the .ipynb there are no cells to compare, only the page.
    if (finds && before !== null) return [];
    return [{ file, words: 'is not, byte for byte, what the notebook gives now' }];
  });
  return verdictOf({
    made: `${[...was.keys()].join(' and ')}, run again from ${inputsInWords(provenance)} with seed ${provenance.seed} by ${provenance.package} ${provenance.version}, byte for byte`,
    inputs,
    versions,
    differences,
    files,
  });
}

function inputsInWords({ data }: NotebookProvenance): string {
  return data.length === 0 ? 'the notebook alone' : `the notebook and ${data.length} files of data`;
}

function cellDifferences(was: RunNotebook, now: RunNotebook): Difference[] {
  const places = Array.from({ length: Math.max(was.cells.length, now.cells.length) }, (_, place) => place);
  return places.flatMap((place) => {
    const [before, after] = [was.cells[place]?.outputs ?? [], now.cells[place]?.outputs ?? []];
    const outputs = Array.from({ length: Math.max(before.length, after.length) }, (_, k) => k);
    return outputs.flatMap((k) => {
      const path = `cell ${place + 1}, output ${k + 1}`;
      const [old, fresh] = [before[k], after[k]];
      if (old === undefined || fresh === undefined) return compareDocuments(old ?? null, fresh ?? null, path);
      return outputDifferences(old, fresh, path);
    });
  });
}

function outputDifferences(
  was: Readonly<Record<string, unknown>>,
  now: Readonly<Record<string, unknown>>,
  path: string,
): Difference[] {
  const [before, after] = [bundleOf(was), bundleOf(now)];
  for (const form of [...FORMS, ...Object.keys(before)]) {
    const found = compareDocuments(before[form] ?? null, after[form] ?? null, path);
    if (found.length > 0) return found;
  }
  return compareDocuments({ ...was, data: null }, { ...now, data: null }, path);
}

function bundleOf(output: Readonly<Record<string, unknown>>): Readonly<Record<string, unknown>> {
  if (output.output_type === 'stream') return { 'text/plain': [output.text].flat().join('') };
  if (output.output_type === 'error') return { 'text/plain': [output.traceback].flat().join('\n') };
  return (output.data ?? {}) as Readonly<Record<string, unknown>>;
}

export function notOurs(): Fault {
  return {
    where: 'the report',
    found: 'a notebook that says nothing of what it came from',
    expected: 'an .ipynb or a page that run has written',
    remedy: 'run the notebook with run NOTEBOOK --data DIR --out DIR, and verify that',
  };
}

function noData({ data }: NotebookProvenance): Fault {
  return {
    where: '--data',
    found: 'no folder',
    expected: `the folder with ${data.map(({ file }) => file).join(', ')}`,
    remedy: 'name the folder the notebook was run on',
  };
}

export function noSource({ notebook }: NotebookProvenance): Fault {
  return {
    where: '--notebook',
    found: `no ${notebook.file} with the SHA-256 ${notebook.sha256}`,
    expected: 'the notebook that was run',
    remedy: 'name the .ts file with --notebook; one that was changed will be said to be so',
  };
}
