import type { InputFile } from '../dataset.ts';

/** One quantity of one swing over the downswing. */
export interface MeasuredCurve {
  readonly swing: string;
  /** Its id in the catalogue of quantities, such as `lag_angle`. */
  readonly quantity: string;
  /** Per cent of the downswing, rising: 0 the top, 100 impact. Samples need not be evenly apart. */
  readonly time_pct: Float64Array;
  /** In the unit of the quantity; NaN where a sample is missing. */
  readonly values: Float64Array;
}

/** The curves that lie beside the tables of a dataset. */
export interface CurveSet {
  readonly curves: readonly MeasuredCurve[];
  /** By swing: per cent of the downswing at which an instant between top and impact was, by its name. */
  readonly instants: ReadonlyMap<string, ReadonlyMap<string, number>>;
  readonly files: readonly InputFile[];
}

/** The file of the curves, and the one of the instants, which may be absent. */
export const CURVES_FILE = 'curves.csv';
/** The file beside curves.csv that says when the instants of each curve are. */
export const CURVE_INSTANTS_FILE = 'curve-instants.csv';
