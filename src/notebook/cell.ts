/** A notebook as its text says it is: cells in order, nothing run. */

export type CellKind = 'code' | 'markdown' | 'raw';

/** One cell of a notebook as its file has it. */
export interface NotebookCell {
  readonly kind: CellKind;
  /** The words between `%%` and the cell's type or metadata; '' where there are none. */
  readonly title: string;
  /** The `key=value` pairs of the marker line, each value being JSON. */
  readonly metadata: Readonly<Record<string, unknown>>;
  /** What an .ipynb holds: text cells without their `// `, no blank lines at the end. */
  readonly source: string;
  /** Line of the marker in the file, 1 being the first; for code above the first marker, that code's first line. */
  readonly markerLine: number;
  /** Line in the file of the first line of `source`. */
  readonly firstLine: number;
}

/** A notebook taken apart into cells. */
export interface ParsedNotebook {
  /** What stands above the cells: a `#!` line, the commented YAML block of some editors; '' where there is neither. */
  readonly header: string;
  readonly cells: readonly NotebookCell[];
}

/** A fault in a notebook or in what was asked of it, as a value: where, what was found, expected, what to do. */
export interface NotebookProblem {
  readonly where: string;
  /** Line of the notebook, or null where no line is meant. */
  readonly line: number | null;
  readonly found: string;
  readonly expected: string;
  readonly remedy: string;
}
