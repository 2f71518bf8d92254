/** A fault in a folder of captures, or in one of them, as a value: where, what was found, expected, what to do. */
export interface FolderProblem {
  readonly where: string;
  readonly found: string;
  readonly expected: string;
  readonly remedy: string;
}

/** One capture to measure, and what stands beside its numbers in swings.csv. */
export interface CaptureTask {
  /** Path from the folder of captures, with / between its parts. */
  readonly file: string;
  /** Cells of its row in swings.csv by column; null where the row cannot be told, with `problem` saying why. */
  readonly cells: ReadonlyMap<string, string> | null;
  /** Path of the layout file. */
  readonly layout: string;
  /** Why it cannot be measured, known before it is opened. */
  readonly problem: FolderProblem | null;
}
