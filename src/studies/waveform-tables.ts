/** What the waveform page is drawn from. Values are in the metric's unit, times in the unit of the axis. */

export interface WaveformNode {
  readonly time: number;
  readonly difference: number;
  /** Ends of the simultaneous band; null where there is none. */
  readonly low: number | null;
  readonly high: number | null;
  readonly t: number;
  /** Of this node, corrected for all nodes. */
  readonly p: number;
}

/** A stretch of the downswing in which the curves differ, on the axis and in the unit of the curve. */
export interface WaveformWindow {
  readonly from: number;
  readonly to: number;
  /** Where the band's near end is furthest from zero. */
  readonly peakAt: number;
  readonly peak: number;
  readonly peakInterval: readonly [number, number];
  readonly mean: number;
  /** Mean of the band's ends over the window: holds whichever window is looked at. */
  readonly meanInterval: readonly [number, number];
  /** Stretches inside it where the band lies beyond the smallest change that matters. */
  readonly matters: readonly { readonly from: number; readonly to: number }[];
}

/** When an instant was, in per cent of the downswing: difference of the same kind as that of the curves. */
export interface WaveformTiming {
  readonly instant: string;
  readonly difference: number;
  readonly interval: readonly [number, number];
}

/** What the page on curves is drawn from. */
export interface WaveformTables {
  readonly axis: {
    readonly kind: 'registered' | 'percent' | 'milliseconds';
    readonly label: string;
    readonly unit: '%' | 'ms';
    readonly marks: readonly { readonly x: number; readonly label: string }[];
  };
  /** What the difference is of, such as `change in drill less change in control`. */
  readonly differenceWords: string;
  /** Mean curves on the axis, at most four. */
  readonly curves: readonly { readonly name: string; readonly values: readonly number[] }[];
  /** Each golfer's own curve that entered the comparison. */
  readonly golfers: readonly {
    readonly golfer: string;
    readonly group: string;
    readonly swings: number;
    readonly values: readonly number[];
  }[];
  readonly nodes: readonly WaveformNode[];
  readonly windows: readonly WaveformWindow[];
  readonly timing: readonly WaveformTiming[];
  readonly methods: {
    readonly critical: number | null;
    readonly arrangements: number;
    readonly exact: boolean;
    readonly p: number;
    readonly monteCarloError: number;
    readonly randomFieldThreshold: number;
    readonly randomFieldBy: 'smoothness' | 'nodes';
    /** Full width at half maximum of the residuals, in the unit of the axis; null where they are constant. */
    readonly fwhm: number | null;
  };
}
