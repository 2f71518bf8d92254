import { readdir, readFile, stat } from 'node:fs/promises';
import { basename, extname, join, resolve } from 'node:path';
import { AlreadyThereError, sha256Hex, writeNewFolder } from '../dataset/index.ts';
import type { NotebookProblem } from './cell.ts';
import { drawable } from './drawable.ts';
import { notebookJson } from './ipynb.ts';
import { notebookPage } from './page.ts';
import { parsePercent } from './parse-percent.ts';
import { hashFolder, type NotebookProvenance, packageIdentity } from './provenance.ts';
import { runCells } from './run-cells.ts';

export interface RunNotebookOptions {
  /** The notebook: a .ts file in percent format. */
  readonly path: string;
  /** The folder that `notebook.dataDir` names; null or absent where the notebook needs none. */
  readonly dataDir?: string | null;
  /** A folder that does not exist yet, or is empty; it receives NAME.ipynb and NAME.html. */
  readonly outDir: string;
  /** What `notebook.seed` gives. Default 1. */
  readonly seed?: number;
  /** Seconds one cell may take. Default 120. */
  readonly cellTimeLimit_s?: number;
  /** Memory the notebook may hold, in MB. Default 2048. */
  readonly memoryLimit_mb?: number;
}

export interface RunNotebookResult {
  /** True when every cell ran. */
  readonly ok: boolean;
  /** The files written: both where the notebook was run, even if a cell failed; none where `problems` stopped it. */
  readonly files: readonly string[];
  readonly failedCell: FailedCell | null;
  /** Why nothing was run or written: a fault of the request or of the notebook's form. */
  readonly problems: readonly NotebookProblem[];
}

export interface FailedCell {
  /** Place among all cells of the notebook, from 0. */
  readonly index: number;
  /** Line of the notebook, or null where none is known. */
  readonly line: number | null;
  readonly name: string;
  readonly message: string;
}

/**
 * Runs a notebook and writes it as NAME.ipynb and NAME.html into a new folder, both or none. A cell that fails
 * stops the run; its error stands under it, the cells after it are marked as not run, and both files are written
 * all the same. The same notebook, data, seed and version give the same bytes.
 *
 * A notebook is a program: run only what you would run otherwise.
 *
 * @example
 * await runNotebook({ path: 'notebooks/drill-trial.ts', dataDir: 'synthetic/demo', outDir: 'out' })
 * // { ok: true, files: ['out/drill-trial.ipynb', 'out/drill-trial.html'], failedCell: null, problems: [] }
 */
export async function runNotebook(options: RunNotebookOptions): Promise<RunNotebookResult> {
  const { path, outDir, dataDir = null, seed = 1, cellTimeLimit_s = 120, memoryLimit_mb = 2048 } = options;
  const refused = (problems: readonly NotebookProblem[]): RunNotebookResult => ({
    ok: false,
    files: [],
    failedCell: null,
    problems,
  });
  const faults = [
    ...(await faultsOfNotebook(path)),
    ...(await faultsOfData(dataDir)),
    ...(await faultsOfOut(outDir)),
  ];
  if (faults.length > 0) return refused(faults);
  const bytes = await readFile(path);
  const text = bytes.toString('utf8');
  const { cells, problems } = parsePercent(text);
  if (problems.length > 0) return refused(problems);
  const provenance: NotebookProvenance = {
    ...packageIdentity(),
    seed,
    notebook: { file: basename(path), sha256: sha256Hex(bytes) },
    data: dataDir === null ? [] : await hashFolder(dataDir),
  };
  const given = { path: resolve(path), dataDir, seed };
  const { runs, failure } = await runCells(text, cells, given, { cellTimeLimit_s, memoryLimit_mb });
  const drawn = drawable(runs);
  const name = basename(path, extname(path));
  const files = {
    [`${name}.ipynb`]: notebookJson(cells, drawn, provenance),
    [`${name}.html`]: notebookPage(cells, drawn, provenance),
  };
  try {
    await writeNewFolder(outDir, files);
  } catch (error) {
    if (error instanceof AlreadyThereError)
      return refused([outTaken(outDir, 'was filled while the notebook ran')]);
    throw error;
  }
  return {
    ok: failure === null,
    files: Object.keys(files).map((file) => join(outDir, file)),
    failedCell: failure === null ? null : { index: failure.cell, ...pick(failure.error) },
    problems: [],
  };
}

function pick({ line, name, message }: Omit<FailedCell, 'index'>): Omit<FailedCell, 'index'> {
  return { line, name, message };
}

async function faultsOfNotebook(path: string): Promise<NotebookProblem[]> {
  const expected = 'a notebook: a .ts file in percent format';
  if (extname(path) !== '.ts')
    return [request('the notebook', `"${path}"`, expected, 'give the .ts file of the notebook')];
  return (await kindOf(path)) === 'file'
    ? []
    : [
        request(
          'the notebook',
          `no file "${path}"`,
          expected,
          'check the spelling and the folder you are in',
        ),
      ];
}

async function faultsOfData(dataDir: string | null): Promise<NotebookProblem[]> {
  if (dataDir === null || (await kindOf(dataDir)) === 'folder') return [];
  const remedy = 'check the spelling and the folder you are in';
  return [request('the data folder', `no folder "${dataDir}"`, 'a folder with the tables', remedy)];
}

/** Asked before the run, so that nobody waits for a notebook that has no place to go. */
async function faultsOfOut(outDir: string): Promise<NotebookProblem[]> {
  const kind = await kindOf(outDir);
  if (kind === null) return [];
  if (kind !== 'folder') return [outTaken(outDir, 'is a file')];
  return (await readdir(outDir)).length === 0 ? [] : [outTaken(outDir, 'exists and is not empty')];
}

function outTaken(outDir: string, how: string): NotebookProblem {
  return request(
    'the output folder',
    `"${outDir}", which ${how}`,
    'a folder that does not exist yet, or is empty',
    'give another name, or move the old folder away first; nothing was written',
  );
}

function request(where: string, found: string, expected: string, remedy: string): NotebookProblem {
  return { where, line: null, found, expected, remedy };
}

async function kindOf(path: string): Promise<'file' | 'folder' | 'other' | null> {
  try {
    const entry = await stat(path);
    return entry.isDirectory() ? 'folder' : entry.isFile() ? 'file' : 'other';
  } catch {
    return null;
  }
}
