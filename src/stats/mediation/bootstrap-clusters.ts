import type { Stream } from '../../numerics/index.ts';

/** Statistics under resampling of whole clusters, flat arrays row by row, for `bootstrapInterval`. */
export interface ClusterDraws {
  /** Draws x values, row by row; NaN where a draw gave none. */
  readonly draws: Float64Array;
  /** Clusters x values: without each cluster in turn. */
  readonly jackknife: Float64Array;
  /** Of the data themselves; null where they give none. */
  readonly estimate: readonly number[] | null;
  readonly values: number;
}

/**
 * Draws as many clusters as there are, with replacement, whole, and computes the statistic each time: rows of a cluster
 * stay together, so whatever they share (a golfer's habits, a day) is in the interval. Also leaves each cluster out once.
 *
 * @param values how many numbers the statistic gives
 * @param leaveOut whether each cluster is left out once too, which takes as many computations as there are clusters
 * @param statistic from how often each cluster counts to `values` numbers, or null where it cannot be computed. The array
 *   is the same each time and must not be kept
 * @example
 * const values = [1, 2, 3, 6];
 * const mean = (counts: Float64Array) => [values.reduce((sum, value, g) => sum + counts[g]! * value, 0) / counts.reduce((a, b) => a + b)];
 * const found = bootstrapClusters(4, 1, mean, 100, createStream(1));
 * found.estimate // [3]
 * found.jackknife // [11/3, 10/3, 3, 2]
 */
export function bootstrapClusters(
  clusters: number,
  values: number,
  statistic: (counts: Float64Array) => readonly number[] | null,
  draws: number,
  stream: Stream,
  leaveOut = true,
): ClusterDraws {
  const counts = new Float64Array(clusters);
  const out = new Float64Array(draws * values).fill(Number.NaN);
  const put = (into: Float64Array, row: number): void => {
    const found = statistic(counts);
    if (found !== null) for (let a = 0; a < values; a++) into[row * values + a] = found[a]!;
  };
  for (let k = 0; k < draws; k++) {
    counts.fill(0);
    for (let g = 0; g < clusters; g++) {
      const drawn = stream.integer(0, clusters - 1);
      counts[drawn] = counts[drawn]! + 1;
    }
    put(out, k);
  }
  const jackknife = new Float64Array(leaveOut ? clusters * values : 0).fill(Number.NaN);
  for (let g = 0; leaveOut && g < clusters; g++) {
    counts.fill(1);
    counts[g] = 0;
    put(jackknife, g);
  }
  counts.fill(1);
  return { draws: out, jackknife, estimate: statistic(counts), values };
}

/**
 * One value of every draw, from 0; NaN where the draw gave none.
 * @example drawsOf({ draws: Float64Array.of(1, 10, 2, 20), jackknife: Float64Array.of(), estimate: null, values: 2 }, 1) // [10, 20]
 */
export function drawsOf({ draws, values }: ClusterDraws, value: number): Float64Array {
  return draws.filter((_, at) => at % values === value);
}

/**
 * One value without each cluster in turn, from 0; NaN where the rest gives none.
 * @example jackknifeOf({ draws: Float64Array.of(), jackknife: Float64Array.of(3, 30, 4, 40), estimate: null, values: 2 }, 0) // [3, 4]
 */
export function jackknifeOf({ jackknife, values }: ClusterDraws, value: number): Float64Array {
  return jackknife.filter((_, at) => at % values === value);
}
