import { readFile } from 'node:fs/promises';
import { basename, extname, join, resolve } from 'node:path';
import { AlreadyThereError, sha256Hex, writeNewFolder } from '../dataset/index.ts';
import type { NotebookProblem } from './cell.ts';
import { drawable } from './drawable.ts';
import { notebookJson } from './ipynb.ts';
import { notebookPage } from './page.ts';
import { parsePercent } from './parse-percent.ts';
import { hashFolder, type NotebookProvenance, packageIdentity } from './provenance.ts';
import { dataUnfit, outUnfit, requestProblems } from './request-problems.ts';
import { runCells } from './run-cells.ts';
import type { FailedCell, RunNotebookOptions, RunNotebookResult } from './run-notebook.ts';

/** The work of `runNotebook`. */
export async function runAndWrite(options: RunNotebookOptions): Promise<RunNotebookResult> {
  const { path, outDir, dataDir = null, seed = 1, cellTimeLimit_s = 120, memoryLimit_mb = 2048 } = options;
  const refused = (problems: readonly NotebookProblem[]): RunNotebookResult => ({
    ok: false,
    files: [],
    failedCell: null,
    problems,
  });
  const faults = await requestProblems(path, dataDir, outDir);
  if (faults.length > 0) return refused(faults);
  const bytes = await readFile(path);
  const text = bytes.toString('utf8');
  const { cells, problems } = parsePercent(text);
  if (problems.length > 0) return refused(problems);
  const data = dataDir === null ? [] : await hashFolder(dataDir);
  if (typeof data === 'string') return refused([dataUnfit(dataDir ?? '', data)]);
  const provenance: NotebookProvenance = {
    ...packageIdentity(),
    seed,
    notebook: { file: basename(path), sha256: sha256Hex(bytes) },
    data,
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
    const why =
      error instanceof AlreadyThereError
        ? 'was filled while the notebook ran'
        : `cannot be written (${error})`;
    return refused([outUnfit(outDir, why)]);
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
