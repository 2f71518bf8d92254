import type { Figure, FigureTable, MotionPicture } from '../report/index.ts';
import type { Finding } from '../studies/index.ts';

/** A value as the running notebook hands it over to be drawn: plain data, one kind for each way to show it. */
export type Shown =
  | { readonly kind: 'figure'; readonly figure: Figure }
  | { readonly kind: 'motion'; readonly motion: MotionPicture }
  | { readonly kind: 'finding'; readonly finding: Finding }
  /** `rows` counts all rows; the table may hold fewer. */
  | { readonly kind: 'table'; readonly table: FigureTable; readonly rows: number }
  | { readonly kind: 'markdown'; readonly text: string }
  | { readonly kind: 'text'; readonly text: string }
  /** Plain data that is nothing of the above: as text, and as JSON where it is not too long. */
  | { readonly kind: 'data'; readonly text: string; readonly json: unknown };

export type StreamName = 'stdout' | 'stderr';

/** An error as a reader of the notebook needs it: no path of a machine, no line of our own code. */
export interface CellError {
  readonly name: string;
  readonly message: string;
  /** Line of the notebook, or null where none is known. */
  readonly line: number | null;
  /** Where the call came from within the notebook, innermost first, in words. */
  readonly trail: readonly string[];
}

/** What the running notebook reports, in order, one JSON line each. */
export type ChildEvent =
  | { readonly type: 'begin'; readonly cell: number }
  | { readonly type: 'at'; readonly line: number }
  | { readonly type: 'shown'; readonly result: boolean; readonly shown: Shown }
  | { readonly type: 'stream'; readonly name: StreamName; readonly text: string }
  /** So many characters of output were left out in this cell so far. */
  | { readonly type: 'cut'; readonly characters: number }
  /** `cell` is where it belongs when no cell had begun: a module that cannot be loaded. */
  | { readonly type: 'error'; readonly error: CellError; readonly cell: number | null }
  | { readonly type: 'memory'; readonly used_mb: number }
  | { readonly type: 'done' };

/** What the child process is told on its standard input. */
export interface ChildOrder {
  /** URL of the notebook, as which its code is loaded. */
  readonly url: string;
  readonly code: string;
  readonly imports: readonly { readonly specifier: string; readonly line: number; readonly cell: number }[];
  readonly dataDir: string | null;
  readonly seed: number;
  readonly memoryLimit_mb: number;
}
