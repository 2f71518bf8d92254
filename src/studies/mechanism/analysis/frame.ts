import type { CellSums } from '../../../dataset/index.ts';
import { type ClusterProducts, clusterProducts } from '../../../stats/index.ts';
import type { Held } from '../input/choice.ts';
import { cellsOfSums, isSummed, pairAt, type Swings } from '../input/summed-swings.ts';
import type { MechanismSwing } from '../input/swings.ts';
import { heldColumns } from './held.ts';

/** Swings that have all the columns asked for, by their counts, means and products in each session. */
export interface Frame {
  /** What is held first, then the columns asked for. */
  readonly columns: readonly string[];
  readonly held: readonly string[];
  /** Whose own level is taken away. */
  readonly own: 'golfer' | 'session';
  readonly size: number;
  readonly golfers: number;
  readonly sessions: number;
  /** Golfers in the order in which their swings first appear. */
  readonly golferNames: readonly string[];
  readonly cells: SessionCells;
  /** The swings themselves; null where they were summed where they are. */
  readonly each: readonly MechanismSwing[] | null;
}

/**
 * An entry for each session of each golfer, by column of the frame; after them, where it was summed, the product of two
 * columns' departures. Least and most are not there in sums of other columns than those of the answer.
 */
export interface SessionCells extends Omit<CellSums, 'columns' | 'of' | 'session'> {
  /** The golfer of each, as a number from 0. */
  readonly golfer: Int32Array;
}

/** The frame of the columns; swings that miss one of them are not in it. */
export function frameOf(
  all: Swings,
  columns: readonly string[],
  own: 'golfer' | 'session' = 'golfer',
  held: readonly Held[] = [],
): Frame {
  const made = isSummed(all) ? cellsOfSums(all, columns, held) : cellsOfSwings(all, columns, held);
  let size = 0;
  for (const count of made.cells.counts) size += count;
  return {
    ...made,
    own,
    size,
    golfers: made.golferNames.length,
    sessions: made.cells.counts.length,
    columns: [...made.held, ...columns],
  };
}

/** Swings that have every column. */
export function completeSwings(
  all: readonly MechanismSwing[],
  columns: readonly string[],
): readonly MechanismSwing[] {
  return all.filter(({ values }) => columns.every((column) => (values[column] ?? null) !== null));
}

function cellsOfSwings(all: readonly MechanismSwing[], columns: readonly string[], held: readonly Held[]) {
  const each = completeSwings(all, columns);
  const extra = heldColumns(held, each);
  const golfer = indexed(each.map((swing) => swing.golfer));
  const session = indexed(each.map((swing) => `${swing.golfer}\n${swing.session}`));
  const values = [
    ...Object.values(extra),
    ...columns.map((column) => Float64Array.from(each, (swing) => swing.values[column]!)),
  ];
  const names = [...Object.keys(extra), ...columns];
  const v = names.length;
  const n = session.names.length;
  const { sizes, products } = clusterProducts(session.at, values);
  const zeros = () => names.map(() => new Float64Array(n));
  const [means, least, most] = [zeros(), zeros(), zeros()];
  values.forEach((column, k) => {
    least[k]!.fill(Number.POSITIVE_INFINITY);
    most[k]!.fill(Number.NEGATIVE_INFINITY);
    column.forEach((value, i) => {
      const s = session.at[i]!;
      means[k]![s] = means[k]![s]! + value;
      least[k]![s] = Math.min(least[k]![s]!, value);
      most[k]![s] = Math.max(most[k]![s]!, value);
    });
    for (let s = 0; s < n; s++) means[k]![s] = means[k]![s]! / sizes[s]!;
  });
  const golferOf = new Int32Array(n);
  session.at.forEach((s, i) => {
    golferOf[s] = golfer.at[i]!;
  });
  return {
    each,
    held: Object.keys(extra),
    golferNames: golfer.names,
    cells: {
      golfer: golferOf,
      counts: sizes,
      means,
      least,
      most,
      products: Array.from({ length: v }, (_, a) =>
        Array.from({ length: v - a }, (_, k) =>
          Float64Array.from({ length: n }, (_, s) => products[s * v * v + a * v + a + k]!),
        ),
      ).flat(),
      errors: names.map((name) => statedErrors(each, name, session.at, n)),
    },
  };
}

function statedErrors(each: readonly MechanismSwing[], column: string, at: Int32Array, n: number) {
  const [squares, stated] = [new Float64Array(n), new Float64Array(n)];
  let any = false;
  each.forEach(({ errors }, i) => {
    const sd = errors[column];
    if (sd === null || sd === undefined) return;
    any = true;
    squares[at[i]!] = squares[at[i]!]! + sd * sd;
    stated[at[i]!] = stated[at[i]!]! + 1;
  });
  return any ? { squares, stated } : null;
}

/** Rows, means and products of departures from the golfer's own means. */
export interface GolferCells {
  readonly counts: Float64Array;
  /** By column asked for. */
  readonly means: readonly Float64Array[];
}

/** The means of golfers. */
export function golferMeans({ cells, golfers, columns }: Frame, asked: readonly string[]): GolferCells {
  const counts = new Float64Array(golfers);
  cells.golfer.forEach((g, s) => {
    counts[g] = counts[g]! + cells.counts[s]!;
  });
  const means = asked.map((column) => {
    const own = cells.means[columns.indexOf(column)]!;
    const sums = new Float64Array(golfers);
    cells.golfer.forEach((g, s) => {
      sums[g] = sums[g]! + cells.counts[s]! * own[s]!;
    });
    return sums.map((sum, g) => sum / counts[g]!);
  });
  return { counts, means };
}

/**
 * The cross products of deviations from the own level; clusters are golfers, so sessions are summed into them. A measurement
 * variance that is not stated is the mean of those that are.
 */
export function productsOf(frame: Frame, asked: readonly string[]): ClusterProducts {
  const { cells, golfers, own, columns } = frame;
  const v = asked.length;
  const at = asked.map((column) => columns.indexOf(column));
  const { counts, means } = golferMeans(frame, asked);
  const products = new Float64Array(golfers * v * v);
  const errors = new Float64Array(golfers * v);
  for (let a = 0; a < v; a++) {
    for (let b = a; b < v; b++) {
      const inSession = cells.products[pairAt(at[a]!, at[b]!, cells.means.length)]!;
      const [ma, mb] = [cells.means[at[a]!]!, cells.means[at[b]!]!];
      for (let s = 0; s < inSession.length; s++) {
        const g = cells.golfer[s]!;
        const between =
          own === 'session' ? 0 : cells.counts[s]! * (ma[s]! - means[a]![g]!) * (mb[s]! - means[b]![g]!);
        const to = g * v * v + a * v + b;
        products[to] = products[to]! + inSession[s]! + between;
      }
      if (b > a)
        for (let g = 0; g < golfers; g++) products[g * v * v + b * v + a] = products[g * v * v + a * v + b]!;
    }
    const stated = cells.errors[at[a]!];
    const mean = meanErrorVariance(frame, asked[a]!);
    if (stated == null || mean === null) continue;
    for (let s = 0; s < cells.golfer.length; s++) {
      const g = cells.golfer[s]!;
      const sum = stated.squares[s]! + (cells.counts[s]! - stated.stated[s]!) * mean;
      const to = g * v + a;
      errors[to] = errors[to]! + sum * (own === 'session' ? 1 - 1 / cells.counts[s]! : 1);
    }
    if (own === 'golfer')
      for (let g = 0; g < golfers; g++) errors[g * v + a] = errors[g * v + a]! * (1 - 1 / counts[g]!);
  }
  return { variables: v, clusters: golfers, sizes: counts, products, errors };
}

/** The mean of the stated measurement variances of a column; null where none is stated. */
export function meanErrorVariance({ cells, columns }: Frame, column: string): number | null {
  const stated = cells.errors[columns.indexOf(column)];
  if (stated == null) return null;
  let [sum, n] = [0, 0];
  for (const square of stated.squares) sum += square;
  for (const some of stated.stated) n += some;
  return n === 0 ? null : sum / n;
}

/** The share of the swings that state a measurement SD of their own. */
export function shareStated({ cells, columns, size }: Frame, column: string): number {
  let n = 0;
  for (const some of cells.errors[columns.indexOf(column)]?.stated ?? []) n += some;
  return n / size;
}

/** Differences below this share of a number are rounding. */
const ROUNDING = 1e-10;

/** Whether a column differs between the swings by more than rounding of its size. */
export function differsIn({ cells, columns }: Frame, column: string): boolean {
  const k = columns.indexOf(column);
  let [low, high, squares] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, 0];
  for (const mean of cells.means[k] ?? []) {
    low = Math.min(low, mean);
    high = Math.max(high, mean);
  }
  for (const square of cells.products[pairAt(k, k, cells.means.length)] ?? [])
    squares = Math.max(squares, square);
  const size = Math.max(Math.abs(low), Math.abs(high));
  return high - low > ROUNDING * size || Math.sqrt(squares) > ROUNDING * size;
}

interface Indexed {
  readonly at: Int32Array;
  readonly names: readonly string[];
}

/** Texts as numbers from 0, in the order of first appearance. */
export function indexed(texts: readonly string[]): Indexed {
  const place = new Map<string, number>();
  const at = Int32Array.from(texts, (text) => {
    const known = place.get(text);
    if (known !== undefined) return known;
    place.set(text, place.size);
    return place.size - 1;
  });
  return { at, names: [...place.keys()] };
}
