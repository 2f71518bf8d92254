import { chiSquaredDraw, type Stream, solveLowerTransposed } from '../../numerics/index.ts';
import { type AtRatio, atRatio } from './at-ratio.ts';
import type { GroupSums } from './group-sums.ts';

/** Draws from the joint distribution of all groups' effects, variances and fixed effects not taken as known. */
export interface GroupPosterior {
  readonly groups: readonly string[];
  /** One row for each draw, one column for each group: how far the group is from the mean of all groups. */
  readonly effects: readonly Float64Array[];
  /** SD between groups, by draw. */
  readonly between: Float64Array;
  /** SD within groups, by draw. */
  readonly within: Float64Array;
}

const POINTS = 600;

/**
 * The joint distribution of groups' effects in a random-intercept model,
 * y = X b + u(group) + e, given the rows: flat in b, in log SD within, and in the SD between
 * (Gelman 2006, Bayesian Analysis 1:515-534, recommends the last where groups are few). Everything but the ratio of the
 * two SDs integrates in closed form, so that draws are independent: the ratio from its own distribution on a grid,
 * then the variance within (scaled inverse chi-squared), b (normal), and each effect (normal, shrunken).
 *
 * @param groups sums by group, from `groupSums`
 * @param stream where the randomness comes from
 * @param count how many draws
 * @returns null where there are fewer than three groups, too few rows for the predictors, or nothing varies
 * @example
 * const rows = [1, 2, 5, 6, 9, 8].map((value, i) => ({ group: `I${i >> 1}`, value, predictors: [] }));
 * groupPosterior(groupSums(rows), createStream(1), 4000)?.between.length // 4000: SDs between groups
 */
export function groupPosterior(
  groups: readonly GroupSums[],
  stream: Stream,
  count: number,
): GroupPosterior | null {
  const rows = groups.reduce((sum, group) => sum + group.size, 0);
  const p = groups[0]?.xy.length ?? 1;
  const df = rows - p - 1;
  if (groups.length < 3 || df < 2) return null;
  const grid = ratioGrid(groups, df);
  if (grid === null) return null;
  const effects: Float64Array[] = [];
  const between = new Float64Array(count);
  const within = new Float64Array(count);
  for (let k = 0; k < count; k++) {
    const at = atRatio(groups, grid.draw(stream) ** 2);
    if (at === null) return null;
    const variance = at.rss / chiSquaredDraw(stream, df);
    within[k] = Math.sqrt(variance);
    between[k] = Math.sqrt(variance * at.lambda);
    const b = drawFixed(at, variance, stream, p);
    effects.push(
      Float64Array.from(groups, ({ size, xx, xy }) => {
        const shrink = at.lambda / (1 + size * at.lambda);
        let residual = xy[0]!;
        for (let i = 0; i < p; i++) residual -= xx[i]! * b[i]!;
        return shrink * residual + Math.sqrt(variance * shrink) * stream.normal();
      }),
    );
  }
  return { groups: groups.map(({ name }) => name), effects, between, within };
}

function drawFixed(at: AtRatio, variance: number, stream: Stream, p: number): Float64Array {
  const z = Float64Array.from({ length: p }, () => Math.sqrt(variance) * stream.normal());
  solveLowerTransposed(at.factor, p, z);
  return z.map((value, i) => value + at.fixed[i]!);
}

/**
 * The distribution of theta = SD between / SD within. With the priors above its density is
 * |V|^-1/2 |X'V^-1 X|^-1/2 RSS^-(rows - p - 1)/2. It falls no faster than a power of theta, so the grid is even in
 * x with theta = scale x / (1 - x), where the density is bounded and the scale is where theta is likeliest.
 */
function ratioGrid(groups: readonly GroupSums[], df: number): { draw(stream: Stream): number } | null {
  const logDensity = (theta: number): number => {
    const at = atRatio(groups, theta * theta);
    if (at === null || !(at.rss > 0)) return Number.NaN;
    return -0.5 * (at.logDeterminant + at.logInformation + df * Math.log(at.rss));
  };
  const scale = likeliest(groups, logDensity);
  const thetaAt = (x: number) => (scale * x) / (1 - x);
  const logs = Float64Array.from(
    { length: POINTS },
    (_, i) => logDensity(thetaAt(i / POINTS)) - 2 * Math.log1p(-i / POINTS),
  );
  if (logs.some(Number.isNaN)) return null;
  const most = logs.reduce((a, b) => Math.max(a, b));
  const density = Float64Array.from([...logs.map((value) => Math.exp(value - most)), 0]);
  const cumulative = new Float64Array(POINTS + 1);
  for (let i = 1; i <= POINTS; i++)
    cumulative[i] = cumulative[i - 1]! + 0.5 * (density[i - 1]! + density[i]!);
  const total = cumulative[POINTS]!;
  return {
    draw(stream) {
      const target = stream.uniform() * total;
      let low = 0;
      let top = POINTS;
      while (top - low > 1) {
        const middle = (low + top) >> 1;
        if (cumulative[middle]! <= target) low = middle;
        else top = middle;
      }
      const inside = insideCell(density[low]!, density[top]!, target - cumulative[low]!);
      return thetaAt(Math.min((low + inside) / POINTS, 1 - 1e-9));
    },
  };
}

/** The likeliest theta among powers of the root of 2 around one over the root of the group size, or that where it is 0. */
function likeliest(groups: readonly GroupSums[], logDensity: (theta: number) => number): number {
  const rows = groups.reduce((sum, group) => sum + group.size, 0);
  const typical = 1 / Math.sqrt(rows / groups.length);
  let best = typical;
  for (let power = -8; power <= 24; power++) {
    const theta = typical * 2 ** (power / 2);
    if (logDensity(theta) > logDensity(best)) best = theta;
  }
  return best;
}

/** Where in a cell with a straight density from `a` to `b` the area from its left is `area` (cell of width 1). */
function insideCell(a: number, b: number, area: number): number {
  const slope = b - a;
  if (Math.abs(slope) < 1e-12 * (a + b)) return a + b === 0 ? 0.5 : Math.min(1, (2 * area) / (a + b));
  return Math.min(1, Math.max(0, (Math.sqrt(Math.max(0, a * a + 2 * slope * area)) - a) / slope));
}
