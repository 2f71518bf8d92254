/** Why something that touches people's data was not done: where, what was found, what was expected, what to do. */
export interface PrivacyProblem {
  readonly where: string;
  readonly found: string;
  readonly expected: string;
  readonly remedy: string;
}

/** The outcome, or everything that stands in its way; where there are problems, nothing was written. */
export type PrivacyOutcome<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problems: readonly PrivacyProblem[] };
