import { createHash } from 'node:crypto';
import { readFile, realpath } from 'node:fs/promises';
import { basename } from 'node:path';
import type { NotebookProblem } from './cell.ts';
import { ownPrograms } from './own-programs.ts';
import { parsePercent } from './parse-percent.ts';
import { hashFolder, type NotebookProvenance, packageIdentity } from './provenance.ts';
import { dataUnfit, outUnfit, requestProblems } from './request-problems.ts';
import { runCells } from './run-cells.ts';
import type { RunNotebookOptions, RunNotebookResult } from './run-notebook.ts';

/** The work of `runNotebook`. */
export async function runAndWrite(options: RunNotebookOptions): Promise<RunNotebookResult> {
  const { path, outDir, dataDir = null, seed = 1, cellTimeLimit_s = 120, memoryLimit_mb = 2048 } = options;
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
    notebook: { file: basename(path), sha256: createHash('sha256').update(bytes).digest('hex') },
    data,
  };
  // A module is loaded under the URL of its real place, which its cells must be known by.
  const given = { path: await realpath(path), dataDir, seed };
  const limits = { cellTimeLimit_s, memoryLimit_mb };
  const { runs, failure } = await runCells(text, cells, given, limits, loadWriter);
  const { writeRun } = await (await ownPrograms()).loadWriter();
  const files = await writeRun(outDir, cells, runs, provenance);
  if (typeof files === 'string') return refused([outUnfit(outDir, files)]);
  if (failure === null) return { ok: true, files, failedCell: null, problems: [] };
  const { line, name, message } = failure.error;
  return { ok: false, files, failedCell: { index: failure.cell, line, name, message }, problems: [] };
}

/** What draws and writes is loaded while the notebook runs in its own process. */
function loadWriter(): void {
  ownPrograms()
    .then((own) => own.loadWriter())
    // A failure to load comes to light where the writer is asked for.
    .catch(() => undefined);
}

function refused(problems: readonly NotebookProblem[]): RunNotebookResult {
  return { ok: false, files: [], failedCell: null, problems };
}
