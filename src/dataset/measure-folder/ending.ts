import type { DownswingCurves } from '../../kinematics/index.ts';
import type { CaptureTask, FolderProblem } from './folder-problem.ts';
import type { UsedLayout } from './layouts.ts';

/** How it ended for one capture of the folder. */
export interface Ending {
  readonly task: CaptureTask;
  /** Null where the file could not be read. */
  readonly sha256: string | null;
  readonly layout: UsedLayout | null;
  readonly result:
    | {
        readonly status: 'measured';
        readonly swing: Readonly<Record<string, number | null>>;
        readonly warnings: readonly string[];
        readonly curves: DownswingCurves | null;
        /** In this run, not in an earlier one. */
        readonly now: boolean;
      }
    | { readonly status: 'failed'; readonly problems: readonly FolderProblem[] }
    /** The same bytes were measured under another name. */
    | { readonly status: 'copy'; readonly of: string };
}
