import type { NotebookProblem } from './cell.ts';

/** Which notebook is run, on which data, and within which limits. */
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

/** What a run wrote, and whether every cell ran. */
export interface RunNotebookResult {
  /** True when every cell ran. */
  readonly ok: boolean;
  /** The files written: both where the notebook was run, even if a cell failed; none where `problems` stopped it. */
  readonly files: readonly string[];
  readonly failedCell: FailedCell | null;
  /** Why nothing was run or written: a fault of the request or of the notebook's form. */
  readonly problems: readonly NotebookProblem[];
}

/** The cell at which a run ended, and why. */
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
  // Loaded only now: every notebook imports this module for `notebook`, and few of them run another one.
  const { runAndWrite } = await import('./run-and-write.ts');
  return runAndWrite(options);
}
