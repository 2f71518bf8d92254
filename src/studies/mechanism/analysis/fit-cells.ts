import { type FitOutcome, fitSpread, type Model } from '../../../stats/index.ts';
import { pairAt } from '../input/summed-swings.ts';
import { type Frame, golferMeans } from './frame.ts';

/** A column of a model over the swings of a frame. */
export interface FrameColumn {
  readonly name: string;
  /** By session. */
  readonly means: Float64Array;
  /** Departures from the session's means as a sum of factors times departures of columns of the frame. */
  readonly departures: readonly { readonly column: number; readonly factor: Float64Array | number }[];
}

/** A column of the frame as it stands, split into departures from the golfer's mean, and that mean less the mean of golfers'. */
export function partsOf(frame: Frame, column: string): Record<'raw' | 'within' | 'between', Float64Array> {
  const raw = frame.cells.means[frame.columns.indexOf(column)]!;
  const means = golferMeans(frame, [column]).means[0]!;
  let centre = 0;
  for (const mean of means) centre += mean / means.length;
  return {
    raw,
    within: raw.map((mean, s) => mean - means[frame.cells.golfer[s]!]!),
    between: raw.map((_, s) => means[frame.cells.golfer[s]!]! - centre),
  };
}

/** A pivot below this share of its square is rounding error. */
const ROUNDING = 1e-13;

/**
 * Fits a normal model with levels of golfers and their sessions from the sums of a frame. Departures from sessions' means are
 * summed by golfer, where a golfer's own slopes act on them and the level of the session does not.
 */
export function fitCells(frame: Frame, model: Model, columns: readonly FrameColumn[]): FitOutcome {
  const { cells, golfers } = frame;
  const v = columns.length;
  const sums = new Float64Array(golfers * v * v);
  const at = (factor: Float64Array | number, s: number) => (typeof factor === 'number' ? factor : factor[s]!);
  for (let a = 0; a < v; a++)
    for (let b = a; b < v; b++)
      for (const one of columns[a]!.departures)
        for (const other of columns[b]!.departures) {
          const products = cells.products[pairAt(one.column, other.column, cells.means.length)]!;
          for (let s = 0; s < products.length; s++) {
            const to = cells.golfer[s]! * v * v + a * v + b;
            sums[to] = sums[to]! + at(one.factor, s) * at(other.factor, s) * products[s]!;
          }
        }
  const firstCell = new Int32Array(golfers).fill(-1);
  cells.golfer.forEach((g, s) => {
    if (firstCell[g]! < 0) firstCell[g] = s;
  });
  const cell = new Int32Array(golfers * v);
  const spread = columns.map(() => new Float64Array(golfers * v));
  let rows = 0;
  const work = new Float64Array(v * v);
  for (let g = 0; g < golfers; g++) {
    for (let k = 0; k < v * v; k++) work[k] = sums[g * v * v + k]!;
    for (let i = 0; i < v; i++) {
      const pivot = work[i * v + i]!;
      if (!(pivot > ROUNDING * sums[g * v * v + i * v + i]!) || !(pivot > 0)) continue;
      const root = Math.sqrt(pivot);
      cell[rows] = firstCell[g]!;
      for (let k = i; k < v; k++) spread[k]![rows] = work[i * v + k]! / root;
      for (let j = i + 1; j < v; j++)
        for (let k = j; k < v; k++)
          work[j * v + k] = work[j * v + k]! - spread[j]![rows]! * spread[k]![rows]!;
      rows++;
    }
  }
  return fitSpread(
    model,
    {
      golfer: Float64Array.from(cells.golfer),
      session: Float64Array.from(cells.golfer.keys()),
      ...Object.fromEntries(columns.map(({ name, means }) => [name, means])),
    },
    {
      counts: cells.counts,
      cell: cell.subarray(0, rows),
      columns: Object.fromEntries(columns.map(({ name }, k) => [name, spread[k]!.subarray(0, rows)])),
    },
  );
}
