import { normalLower, normalQuantile, studentQuantile } from '../../numerics/index.ts';

/** Draws of a statistic and what an interval from them needs. */
export interface BootstrapIntervalInput {
  /** Draws of the statistic, in any order; those that are not numbers failed and are counted. */
  readonly draws: ArrayLike<number>;
  readonly estimate: number;
  readonly level?: number;
  /** The statistic without each cluster in turn: with it, the interval corrects bias and skewness (BCa). */
  readonly jackknife?: ArrayLike<number>;
  /** Number of clusters drawn: with it, the interval is widened for how few they are. */
  readonly clusters?: number;
}

/** An interval from bootstrap draws, in the unit of the statistic. */
export interface BootstrapInterval {
  readonly interval: readonly [number, number];
  /** Standard error of each end that comes from the number of draws. */
  readonly monteCarloError: readonly [number, number];
  /** SD of the draws. */
  readonly standardError: number;
  readonly draws: number;
  readonly failed: number;
}

/**
 * Percentile interval of bootstrap draws, or with `jackknife` the bias-corrected and accelerated one (Efron 1987, J Am
 * Stat Assoc 82:171-185). Quantiles interpolate between order statistics on the normal scale (Davison and Hinkley 1997,
 * Bootstrap Methods and their Application, equation 5.8). With `clusters` = n the normal quantile z is replaced by
 * sqrt(n / (n - 1)) t(n - 1): percentile intervals of few units are too narrow by about that (Hesterberg 2015, Am Stat
 * 69:371-386, section 4.3). The Monte Carlo error of an end is half the span between the order statistics one binomial SD
 * to either side.
 *
 * @throws Error when the level is not inside 0..1 or fewer than 40 draws are numbers
 * @example
 * const draws = Array.from({ length: 999 }, (_, k) => k + 1);
 * // The order statistics of rank 1000 x 0.025 and 1000 x 0.975; the SD of 1 to n is sqrt(n (n + 1) / 12).
 * bootstrapInterval({ draws, estimate: 500 }) // { interval: [25, 975], standardError: 288.53, draws: 999, failed: 0, ... }
 */
export function bootstrapInterval(input: BootstrapIntervalInput): BootstrapInterval {
  const { draws, estimate, level = 0.95, jackknife, clusters } = input;
  if (!(level > 0 && level < 1))
    throw new Error(`bootstrapInterval: the level must lie in 0..1; found ${level}`);
  const sorted = Float64Array.from(draws).filter(Number.isFinite).sort();
  const n = sorted.length;
  if (n < 40)
    throw new Error(
      `bootstrapInterval: only ${n} of ${draws.length} draws gave a number; draw more, or simplify`,
    );
  const { bias, acceleration } = jackknife ? corrections(sorted, estimate, jackknife) : NONE;
  const share = (upper: boolean): number => {
    const p = upper ? (1 + level) / 2 : (1 - level) / 2;
    const z =
      clusters === undefined || clusters < 2
        ? normalQuantile(p)
        : Math.sqrt(clusters / (clusters - 1)) * studentQuantile(p, clusters - 1);
    const moved = bias + z;
    return normalLower(bias + moved / (1 - acceleration * moved));
  };
  const shares = [share(false), share(true)] as const;
  let sum = 0;
  for (const value of sorted) sum += value;
  let squares = 0;
  for (const value of sorted) squares += (value - sum / n) ** 2;
  return {
    interval: [quantile(sorted, shares[0]), quantile(sorted, shares[1])],
    monteCarloError: [errorOf(sorted, shares[0]), errorOf(sorted, shares[1])],
    standardError: Math.sqrt(squares / (n - 1)),
    draws: n,
    failed: draws.length - n,
  };
}

const NONE = { bias: 0, acceleration: 0 };

function corrections(sorted: Float64Array, estimate: number, jackknife: ArrayLike<number>) {
  let below = 0;
  for (const value of sorted) below += value < estimate ? 1 : value === estimate ? 0.5 : 0;
  const n = sorted.length;
  const kept = Float64Array.from(jackknife).filter(Number.isFinite);
  let mean = 0;
  for (const value of kept) mean += value / kept.length;
  let [squares, cubes] = [0, 0];
  for (const value of kept) {
    squares += (mean - value) ** 2;
    cubes += (mean - value) ** 3;
  }
  return {
    bias: normalQuantile(Math.min(1 - 0.5 / n, Math.max(0.5 / n, below / n))),
    acceleration: squares > 0 ? cubes / (6 * squares ** 1.5) : 0,
  };
}

/** The order statistic of rank (n + 1) share, between two of them in proportion on the normal scale. */
function quantile(sorted: Float64Array, share: number): number {
  const n = sorted.length;
  const rank = (n + 1) * share;
  const below = Math.floor(rank);
  if (below < 1) return sorted[0]!;
  if (below >= n) return sorted[n - 1]!;
  const [low, high] = [normalQuantile(below / (n + 1)), normalQuantile((below + 1) / (n + 1))];
  const part = (normalQuantile(share) - low) / (high - low);
  return sorted[below - 1]! + part * (sorted[below]! - sorted[below - 1]!);
}

function errorOf(sorted: Float64Array, share: number): number {
  const n = sorted.length;
  const step = Math.sqrt((share * (1 - share)) / n);
  return (quantile(sorted, Math.min(1, share + step)) - quantile(sorted, Math.max(0, share - step))) / 2;
}
