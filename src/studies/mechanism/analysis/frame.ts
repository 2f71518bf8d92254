import { type ClusterProducts, clusterProducts } from '../../../stats/index.ts';
import type { MechanismSwing } from '../input/swings.ts';

/** Swings that have all the columns asked for, as columns of numbers, with deviations from the own level taken. */
export interface Frame {
  readonly swings: readonly MechanismSwing[];
  readonly golfers: number;
  readonly sessions: number;
  /** The golfer of each swing as a number from 0, in the order of first appearance; golfers in that order. */
  readonly golferAt: Int32Array;
  readonly golferNames: readonly string[];
  /** The cluster whose level is taken away: the golfer, or the session. */
  readonly ownAt: Int32Array;
  readonly raw: Readonly<Record<string, Float64Array>>;
  /** Less the mean of the own level. */
  readonly within: Readonly<Record<string, Float64Array>>;
  /** The golfer's mean less the mean of the golfers' means. */
  readonly between: Readonly<Record<string, Float64Array>>;
  /** Variance of the measurement error by swing; null where no SD is stated for any, the mean stated one where some are. */
  readonly errorVariance: Readonly<Record<string, Float64Array | null>>;
}

/** The frame of the columns; swings that miss one of them are not in it. */
export function frameOf(
  all: readonly MechanismSwing[],
  columns: readonly string[],
  own: 'golfer' | 'session' = 'golfer',
): Frame {
  const swings = all.filter(({ values }) => columns.every((column) => (values[column] ?? null) !== null));
  const golfer = indexed(swings.map((swing) => swing.golfer));
  const session = indexed(swings.map((swing) => swing.session));
  const cluster = own === 'golfer' ? golfer : session;
  const raw: Record<string, Float64Array> = {};
  const within: Record<string, Float64Array> = {};
  const between: Record<string, Float64Array> = {};
  const errorVariance: Record<string, Float64Array | null> = {};
  for (const column of columns) {
    const values = Float64Array.from(swings, (swing) => swing.values[column]!);
    raw[column] = values;
    within[column] = deviations(values, cluster);
    between[column] = centredMeans(values, golfer);
    errorVariance[column] = variances(swings, column);
  }
  return {
    swings,
    golfers: golfer.names.length,
    sessions: session.names.length,
    golferAt: golfer.at,
    golferNames: golfer.names,
    ownAt: cluster.at,
    raw,
    within,
    between,
    errorVariance,
  };
}

/** The cross products of deviations from the own level; clusters are golfers, so sessions are summed into them. */
export function productsOf(frame: Frame, columns: readonly string[]): ClusterProducts {
  const all = clusterProducts(
    frame.ownAt,
    columns.map((column) => frame.raw[column]!),
    columns.map((column) => frame.errorVariance[column] ?? null),
  );
  if (frame.ownAt === frame.golferAt) return all;
  const golferOf = new Int32Array(all.clusters);
  frame.ownAt.forEach((own, i) => {
    golferOf[own] = frame.golferAt[i]!;
  });
  const v = columns.length;
  const sizes = new Float64Array(frame.golfers);
  const products = new Float64Array(frame.golfers * v * v);
  const errors = new Float64Array(frame.golfers * v);
  for (let k = 0; k < all.clusters; k++) {
    const g = golferOf[k]!;
    sizes[g] = sizes[g]! + all.sizes[k]!;
    for (let a = 0; a < v * v; a++)
      products[g * v * v + a] = products[g * v * v + a]! + all.products[k * v * v + a]!;
    for (let a = 0; a < v; a++) errors[g * v + a] = errors[g * v + a]! + all.errors[k * v + a]!;
  }
  return { variables: v, clusters: frame.golfers, sizes, products, errors };
}

interface Indexed {
  readonly at: Int32Array;
  readonly names: readonly string[];
}

function indexed(texts: readonly string[]): Indexed {
  const place = new Map<string, number>();
  const at = Int32Array.from(texts, (text) => {
    const known = place.get(text);
    if (known !== undefined) return known;
    place.set(text, place.size);
    return place.size - 1;
  });
  return { at, names: [...place.keys()] };
}

function meansOf(values: Float64Array, { at, names }: Indexed): Float64Array {
  const sums = new Float64Array(names.length);
  const counts = new Float64Array(names.length);
  values.forEach((value, i) => {
    sums[at[i]!] = sums[at[i]!]! + value;
    counts[at[i]!] = counts[at[i]!]! + 1;
  });
  return sums.map((sum, g) => sum / counts[g]!);
}

/** Values less the mean of their cluster. */
export function deviations(values: Float64Array, cluster: Indexed): Float64Array {
  const means = meansOf(values, cluster);
  return values.map((value, i) => value - means[cluster.at[i]!]!);
}

function centredMeans(values: Float64Array, golfer: Indexed): Float64Array {
  const means = meansOf(values, golfer);
  let centre = 0;
  for (const mean of means) centre += mean / means.length;
  return Float64Array.from(golfer.at, (g) => means[g]! - centre);
}

function variances(swings: readonly MechanismSwing[], column: string): Float64Array | null {
  let [sum, stated] = [0, 0];
  for (const { errors } of swings) {
    const sd = errors[column];
    if (sd === null || sd === undefined) continue;
    sum += sd * sd;
    stated += 1;
  }
  if (stated === 0) return null;
  return Float64Array.from(swings, ({ errors }) => {
    const sd = errors[column];
    return sd === null || sd === undefined ? sum / stated : sd * sd;
  });
}
