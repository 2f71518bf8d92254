/** A fault in a dataset as a value: where, what was found, what was expected, what to do. */

export type ProblemKind =
  | 'missing-file'
  | 'empty-file'
  | 'unreadable-file'
  | 'missing-column'
  | 'unknown-column'
  | 'duplicate-column'
  | 'ragged-row'
  | 'missing-value'
  | 'not-a-number'
  | 'not-a-date'
  | 'not-allowed'
  | 'out-of-range'
  | 'duplicate-key'
  | 'unknown-key'
  | 'date-order'
  | 'suspect-unit'
  | 'suspect-missing-code'
  | 'bad-descriptor';

/** One problem of the data: where it is, what was found, what was expected and what to do. */
export interface Problem {
  readonly kind: ProblemKind;
  /** An error stops a study; a warning is shown and the work goes on. */
  readonly severity: 'error' | 'warning';
  readonly table: string;
  /** Line in the file, the header being line 1; null when the whole file or column is meant. */
  readonly row: number | null;
  readonly column: string | null;
  readonly found: string;
  readonly expected: string;
  readonly remedy: string;
}

/** A value that was checked, with its warnings, or every problem it has. */
export type Checked<T> =
  | { readonly valid: true; readonly value: T; readonly problems: readonly Problem[] }
  | { readonly valid: false; readonly problems: readonly Problem[] };

/** Whether a problem stops the work. */
export function isError({ severity }: Problem): boolean {
  return severity === 'error';
}
