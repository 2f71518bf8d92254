import type { CellError, Shown, StreamName } from './child-events.ts';

/** One thing that stands under a cell, in the order it came. */
export type CellOutput =
  | { readonly type: 'stream'; readonly name: StreamName; readonly text: string }
  /** `result` is true for the value of the cell's last expression. */
  | { readonly type: 'shown'; readonly result: boolean; readonly shown: Shown }
  /** Says that output was left out, and how much. */
  | { readonly type: 'cut'; readonly words: string }
  | { readonly type: 'error'; readonly error: CellError };

/** What became of a code cell. */
export interface CellRun {
  readonly status: 'ran' | 'failed' | 'not-run';
  readonly outputs: readonly CellOutput[];
}

/** The runs of a notebook's code cells by the index of the cell. */
export type NotebookRuns = ReadonlyMap<number, CellRun>;
