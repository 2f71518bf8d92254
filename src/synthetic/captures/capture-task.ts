import type { CaptureSettings } from './capture-settings.ts';
import type { SwingToCapture } from './capture-swing.ts';

/** What a thread is started with. */
export interface WorkerTask {
  readonly folder: string;
  readonly settings: CaptureSettings;
  readonly seed: number;
}

/** What a thread does at a time. */
export interface CaptureBatch {
  readonly swings: readonly SwingToCapture[];
}

/** How it ended for one swing. */
export type CapturedSwing =
  | {
      readonly swing_id: string;
      readonly sha256: string;
      readonly bytes: number;
      /** The swing's true metrics by column. */
      readonly metrics: Readonly<Record<string, number | null>>;
    }
  | { readonly swing_id: string; readonly fault: string };
