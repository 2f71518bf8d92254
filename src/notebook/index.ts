export type { CellKind, NotebookCell, NotebookProblem, ParsedNotebook } from './cell.ts';
export { formatPercent, type WritableCell } from './format-percent.ts';
export { type PercentReading, parsePercent } from './parse-percent.ts';
export { notebook } from './context.ts';
