/** A fault in a spreadsheet or a mapping as a value, in words a coach can act on. */
export interface ImportProblem {
  /** The file, the line and column of a sheet, or the path in the mapping, such as `mapping /reading/date_order`. */
  readonly where: string;
  readonly found: string;
  readonly expected: string;
  readonly remedy: string;
}

/** Stops the reading of a file from deep inside it; caught where the file is opened, never shown as an error. */
export class Unreadable extends Error {
  override readonly name = 'Unreadable';
  readonly problem: Omit<ImportProblem, 'where'>;

  constructor(found: string, expected: string, remedy: string) {
    super(found);
    this.problem = { found, expected, remedy };
  }
}
