/** Notebooks: a percent-format .ts file, its cells run in order, as .ipynb and as a page. */

export { answered } from './answered.ts';
export type { CellKind, NotebookCell, NotebookProblem, ParsedNotebook } from './cell.ts';
export { closing } from './closing.ts';
export { type MarkdownText, notebook } from './context.ts';
export { formatPercent, type WritableCell } from './format-percent.ts';
export { type OpenedDataset, openDataset } from './open-dataset.ts';
export { type PercentReading, parsePercent } from './parse-percent.ts';
export { hashFolder, type NotebookProvenance, packageIdentity } from './provenance.ts';
export { asProvenance, type RunNotebook, type RunNotebookCell, readRunNotebook } from './read-ipynb.ts';
export {
  type FailedCell,
  type RunNotebookOptions,
  type RunNotebookResult,
  runNotebook,
} from './run-notebook.ts';
export { type WatchNotebookOptions, watchNotebook } from './watch-notebook.ts';
