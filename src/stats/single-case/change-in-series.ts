import { leastSquares, orthogonalColumns, studentLower } from '../../numerics/index.ts';

/** A series in order of time, and on which of its occasions B was in force. */
export interface Series {
  readonly values: readonly number[];
  readonly inB: readonly boolean[];
}

/** The change of one unit between two phases, allowing for neighbours that are alike, in the unit of the values. */
export interface SeriesChange {
  /** The median of what the data say of the change from A to B. */
  readonly change: number;
  readonly interval: readonly [number, number];
  readonly level: number;
  /** Values less coefficients. */
  readonly degreesOfFreedom: number;
  /** What the data say of the correlation of neighbours: median and interval of the same level. */
  readonly autocorrelation: { readonly value: number; readonly interval: readonly [number, number] };
}

/** What the change in a series is allowed to run along, and at which level its interval holds. */
export interface SeriesChangeOptions {
  readonly level?: number;
  /** Whether each series may also run along a straight line of its own through all phases. Default false. */
  readonly trend?: boolean;
  /** Neighbours held to this correlation instead of averaging over all. */
  readonly autocorrelation?: number;
}

/** Correlations of neighbours that are averaged over, each as likely as the next before the data. */
const GRID = Array.from({ length: 39 }, (_, i) => (i - 19) / 20);

interface Conditional {
  readonly correlation: number;
  readonly estimate: number;
  readonly standardError: number;
  readonly weight: number;
}

/**
 * The change from A to B in one or several series: each value is its series' level, plus the change in B, plus an error
 * that is like its neighbour's to a degree that is not known (first-order autoregression, occasions equally spaced).
 * A short series cannot tell that degree, and an interval that takes an estimate of it for the truth is too short. So
 * the change is worked out by generalised least squares under every correlation from -0.95 to 0.95, and these are
 * averaged by how well each fits (its restricted likelihood; flat before the data): the posterior of the change under
 * flat priors for level, change, log variance and correlation (Zellner and Tiao 1964, JASA 59:763-778).
 *
 * Null where a series has no A or no B, there are fewer than two degrees of freedom, or nothing varies around the
 * phases' means.
 *
 * @example
 * const series = { values: [1, 2, 1, 4, 5, 4], inB: [false, false, false, true, true, true] };
 * Math.round(changeInSeries([series])!.change) // 3
 */
export function changeInSeries(
  series: readonly Series[],
  options: SeriesChangeOptions = {},
): SeriesChange | null {
  const { level = 0.95, trend = false, autocorrelation } = options;
  const design = designOf(series, trend);
  if (design === null) return null;
  const grid = autocorrelation === undefined ? GRID : [autocorrelation];
  const conditionals = grid.map((correlation) => conditional(design, correlation));
  const known = conditionals.filter((one) => one !== null);
  if (known.length < grid.length) return null;
  const best = Math.max(...known.map(({ weight }) => weight));
  const weighed = known.map((one) => ({ ...one, weight: Math.exp(one.weight - best) }));
  const total = weighed.reduce((sum, { weight }) => sum + weight, 0);
  const parts = weighed
    .map((one) => ({ ...one, weight: one.weight / total }))
    .filter(({ weight }) => weight > 1e-9);
  const df = design.y.length - design.p;
  const at = (share: number) => quantileOfMixture(parts, df, share);
  const tail = (1 - level) / 2;
  return {
    change: at(0.5),
    interval: [at(tail), at(1 - tail)],
    level,
    degreesOfFreedom: df,
    autocorrelation: {
      value: correlationAt(parts, 0.5),
      interval: [correlationAt(parts, tail), correlationAt(parts, 1 - tail)],
    },
  };
}

interface Design {
  /** Columns one after the other: levels, trends, and B last. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly p: number;
  /** Where each series begins. */
  readonly begins: readonly number[];
}

function designOf(series: readonly Series[], trend: boolean): Design | null {
  if (series.length === 0 || series.some(({ inB }) => inB.every((b) => b) || inB.every((b) => !b)))
    return null;
  const n = series.reduce((sum, { values }) => sum + values.length, 0);
  const p = series.length * (trend ? 2 : 1) + 1;
  if (n - p < 2) return null;
  const x = new Float64Array(n * p);
  const y = new Float64Array(n);
  const begins: number[] = [];
  let row = 0;
  series.forEach(({ values, inB }, k) => {
    begins.push(row);
    const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
    values.forEach((value, i) => {
      x[k * n + row] = 1;
      if (trend) x[(series.length + k) * n + row] = i - (values.length - 1) / 2;
      x[(p - 1) * n + row] = inB[i] ? 1 : 0;
      y[row] = value - mean;
      row += 1;
    });
  });
  return { x, y, p, begins };
}

/** The change under one correlation, with the logarithm of its weight. Null where nothing is left to vary. */
function conditional({ x, y, p, begins }: Design, correlation: number): Conditional | null {
  const n = y.length;
  const first = Math.sqrt(1 - correlation ** 2);
  const starts = new Set(begins);
  const whiten = (source: Float64Array, offset: number, target: Float64Array) => {
    for (let i = 0; i < n; i++)
      target[offset + i] = starts.has(i)
        ? first * source[offset + i]!
        : source[offset + i]! - correlation * source[offset + i - 1]!;
  };
  const white = new Float64Array(n * p);
  const response = new Float64Array(n);
  for (let k = 0; k < p; k++) whiten(x, k * n, white);
  whiten(y, 0, response);
  const columns = orthogonalColumns(white, n, p);
  if (columns.dependent.length > 0) return null;
  const { coefficients, residualSumOfSquares } = leastSquares(white, response, p, columns, 0);
  const scale = response.reduce((sum, value) => sum + value * value, 0);
  if (!(residualSumOfSquares > 1e-24 * scale)) return null;
  const df = n - p;
  let logDeterminant = 0;
  for (let k = 0; k < p; k++) logDeterminant += Math.log(Math.abs(columns.r[k * p + k]!));
  return {
    correlation,
    estimate: coefficients[p - 1]!,
    standardError: Math.sqrt(residualSumOfSquares / df) / Math.abs(columns.r[p * p - 1]!),
    weight:
      (begins.length / 2) * Math.log(1 - correlation ** 2) -
      logDeterminant -
      (df / 2) * Math.log(residualSumOfSquares),
  };
}

/** Where the weighed average of the parts' Student distributions reaches `share`, by halving and false position. */
function quantileOfMixture(parts: readonly Conditional[], df: number, share: number): number {
  const excess = (value: number) =>
    parts.reduce(
      (sum, { weight, estimate, standardError }) =>
        sum + weight * studentLower((value - estimate) / standardError, df),
      -share,
    );
  const widest = Math.max(...parts.map(({ standardError }) => standardError));
  const middle = parts.reduce((sum, { weight, estimate }) => sum + weight * estimate, 0);
  let reach = 2 * widest;
  while (excess(middle - reach) > 0 || excess(middle + reach) < 0) reach *= 2;
  let [low, high] = [middle - reach, middle + reach];
  let [below, above] = [excess(low), excess(high)];
  for (let i = 0; i < 100 && high - low > 1e-12 * widest; i++) {
    const ahead = low + (-below / (above - below)) * (high - low);
    // False position alone may creep from one side; every third step halves.
    const next = i % 3 === 2 ? (low + high) / 2 : ahead;
    const here = excess(next);
    if (here === 0) return next;
    if (here < 0) [low, below] = [next, here];
    else [high, above] = [next, here];
    if (Math.abs(here) < 1e-13) return next;
  }
  return (low + high) / 2;
}

/** The correlation below which so much of the weight lies, each grid value's weight spread evenly round it. */
function correlationAt(parts: readonly Conditional[], share: number): number {
  if (parts.length === 1) return parts[0]!.correlation;
  const half = 1 / 40;
  let before = 0;
  for (const { correlation, weight } of parts) {
    if (before + weight >= share) return correlation - half + ((share - before) / weight) * 2 * half;
    before += weight;
  }
  return parts.at(-1)!.correlation + half;
}
