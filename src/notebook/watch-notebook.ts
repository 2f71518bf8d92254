import type { RunNotebookOptions, RunNotebookResult } from './run-notebook.ts';

/** A notebook to be run again whenever its file changes. */
export interface WatchNotebookOptions extends RunNotebookOptions {
  /** Called with the address of the page, on this machine only, once it can be opened. */
  readonly opened: (address: string) => void;
  /** Called after each run. */
  readonly ran: (result: RunNotebookResult) => void;
  /** Ends the watch. */
  readonly signal: AbortSignal;
}

/**
 * Runs a notebook, and again whenever its file, a module beside it that it imports, or a file of its data changes, until the
 * signal is given. `outDir` must be new or empty at the
 * start; after that it is replaced whole at each run, and a page that is open at the address shows the new one.
 * A notebook that cannot be read leaves the last files as they are. Listens on 127.0.0.1 only.
 *
 * @throws what replacing a folder throws when somebody else writes into `outDir`
 * @example
 * const stop = new AbortController();
 * const runs: boolean[] = [];
 * await watchNotebook({
 *   path: 'notebooks/drill-trial.ts', dataDir: 'synthetic/demo', outDir: 'out', signal: stop.signal, opened: () => {},
 *   // One run is enough here
 *   ran: ({ ok }) => { runs.push(ok); stop.abort(); },
 * });
 * runs // [true]
 */
export async function watchNotebook(options: WatchNotebookOptions): Promise<void> {
  // Loaded only now: every notebook imports this folder's index, and none of them watches another one.
  const { watchAndRun } = await import('./watch-and-run.ts');
  return watchAndRun(options);
}
