/** A fault in a capture, a layout or a points table as a value: where, what was found, expected, what to do. */
export interface CaptureProblem {
  /** `layout /landmarks/grip`, `capture byte 812`, `points row 14`: enough to find the place. */
  readonly where: string;
  readonly found: string;
  readonly expected: string;
  readonly remedy: string;
}

/** What was asked for, or every reason why the capture does not give it. */
export type CaptureResult<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problems: readonly CaptureProblem[] };
