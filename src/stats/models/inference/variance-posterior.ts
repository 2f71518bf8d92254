import {
  chiSquaredUpperQuantile,
  minimiseInTrustRegion,
  type SecondOrder,
  studentUpperQuantile,
  symmetricEigen,
} from '../../../numerics/index.ts';
import { freePositions } from '../linear/covariance-shape.ts';
import type { FittedDesign } from '../linear/fitted-design.ts';
import type { ProfiledDeviance } from '../linear/profiled-deviance.ts';

/** What was seen at variances that the data allow, with the share it is worth. */
export interface WeightedView<Seen> {
  readonly seen: Seen;
  /** The shares add up to 1. */
  readonly share: number;
  /** Residual variance, in the unit of the fit squared. */
  readonly residualVariance: number;
}

/** What is known at one theta, with the node states of the elimination. */
export type Settled = ReturnType<ProfiledDeviance['settle']>;

/** Fewer points where there are many levels, whose variances are then known well. */
const MOST_POINTS = 256;
const FEWEST_POINTS = 64;
const LEVELS_TIMES_POINTS = 200_000;
/** Degrees of freedom of the draws from which the lattice is stretched: heavier tails than those of variances. */
const TAIL = 4;
const LEAST_START = 0.1;
const LEAST_BEND = 0.25;
const LEAST_SHARE = 1e-9;
const FARTHEST = 1e6;
const PRIMES = [2, 3, 5, 7, 11, 13, 17, 19, 23, 29, 31, 37] as const;

/**
 * What the data say of the variances of a model fitted by REML, every element of a covariance matrix being as likely as any
 * other beforehand (and the residual variance alike in its logarithm): the restricted likelihood times that, on the
 * points of a lattice (Richtmyer's, multiples of square roots of primes) laid around its mode. The Cholesky factors
 * L of the covariance are looked at by the logarithm of their diagonal, in which the density
 *   |V|^-1/2 |X'V^-1 X|^-1/2 (r^2)^(-v/2) prod_i L_ii^(q - i + 2),   v = n - p - 2 (number of elements),
 * has its mode inside, however flat the likelihood is at zero (Morris and Tang's adjustment for density
 * maximisation, which is Li and Lahiri's adjusted likelihood for one variance).
 * Sources: Everson and Morris (2000), J R Stat Soc B 62, 399-412 (uniform on the covariance matrix); Datta, Rao and
 * Smith (2005), Biometrika 92, 183-196 (for which intervals then are right to the second order); Li and Lahiri (2010), J
 * Multivariate Analysis 101, 882-892; Morris and Tang (2011), Statistical Science 26, 271-287.
 *
 * `look` is called at each point, with the elimination settled there.
 * Null where there is nothing to average: no random effects, too few rows, or a mode that is not found.
 */
export function variancePosterior<Seen>(
  { design, deviance, optimum }: FittedDesign,
  look: (settled: Settled) => Seen,
): WeightedView<Seen>[] | null {
  const { shape, system } = design.assembled;
  const total = shape.starts.at(-1)!;
  const v = deviance.degrees - 2 * total;
  if (total === 0 || total >= PRIMES.length || v < 1) return null;
  /** For each theta on a diagonal its exponent, 0 for the others. */
  const powers = new Float64Array(total);
  shape.terms.forEach((term, t) => {
    freePositions(term).forEach(([row, column], e) => {
      if (row === column) powers[shape.starts[t]! + e] = term.kind === 'full' ? term.effects - row + 1 : 2;
    });
  });
  const thetaOf = (eta: Float64Array) => eta.map((value, i) => (powers[i]! > 0 ? Math.exp(value) : value));
  const prior = (eta: Float64Array) => eta.reduce((sum, value, i) => sum - powers[i]! * value, 0);

  const minusLogDensity = (eta: Float64Array): SecondOrder => {
    const theta = thetaOf(eta);
    const here = deviance.evaluate(theta, true);
    const { residualSum: r2, residualSumBy, residualSumByTwo, logTermsBy, logTermsByTwo } = here;
    if (!Number.isFinite(here.value))
      return { value: Number.NaN, gradient: new Float64Array(total), hessian: new Float64Array(total ** 2) };
    const byElement = logTermsBy.map((g, i) => (g + (v * residualSumBy[i]!) / r2) / 2);
    const byTwo = logTermsByTwo.map((h, ij) => {
      const i = Math.floor(ij / total);
      const j = ij % total;
      return (h + v * (residualSumByTwo[ij]! / r2 - (residualSumBy[i]! * residualSumBy[j]!) / r2 ** 2)) / 2;
    });
    const out = { gradient: new Float64Array(total), hessian: new Float64Array(total * total) };
    shape.fillTheta(theta, byElement, byTwo, out);
    const stretch = theta.map((value, i) => (powers[i]! > 0 ? value : 1));
    const hessian = out.hessian.map((h, ij) => h * stretch[Math.floor(ij / total)]! * stretch[ij % total]!);
    const gradient = out.gradient.map((g, i) => {
      if (powers[i]! > 0) hessian[i * total + i] = hessian[i * total + i]! + g * stretch[i]!;
      return g * stretch[i]! - powers[i]!;
    });
    // The profiled value has log r^2 with the degrees of the fit.
    const value = (here.value - (deviance.degrees - v) * Math.log(r2)) / 2 + prior(eta);
    return { value, gradient, hessian };
  };

  const start = Float64Array.from(optimum.theta);
  shape.terms.forEach((term, t) => {
    const positions = freePositions(term);
    positions.forEach(([row, column], e) => {
      const at = shape.starts[t]! + e;
      const value = optimum.theta[at]!;
      if (row === column) start[at] = Math.log(Math.max(Math.abs(value), LEAST_START));
      else {
        // A column of L and its negative are the same covariance.
        const diagonal = positions.findIndex(([r, c]) => r === column && c === column);
        start[at] = optimum.theta[shape.starts[t]! + diagonal]! < 0 ? -value : value;
      }
    });
  });
  if (!Number.isFinite(minusLogDensity(start).value)) return null;
  const mode = minimiseInTrustRegion(minusLogDensity, start, 100, 1e-4);
  const centre = Float64Array.from(mode.at);
  const { values, vectors } = symmetricEigen(Float64Array.from(mode.hessian), total);
  // A direction in which the density hardly bends is not followed for ever.
  const reach = values.map((value) => 1 / Math.sqrt(Math.max(value, LEAST_BEND)));
  const drawn: { seen: Seen; log: number; residualVariance: number }[] = [];
  const nodes = system.stages.reduce((sum, stage) => sum + stage.nodes, 0);
  const points = Math.min(MOST_POINTS, Math.max(FEWEST_POINTS, Math.floor(LEVELS_TIMES_POINTS / nodes)));
  for (const { steps, logDraw, upper } of latticeOf(total).slice(0, points)) {
    const eta = Float64Array.from(centre);
    for (let i = 0; i < total; i++)
      for (let k = 0; k < total; k++) eta[i] = eta[i]! + vectors[i * total + k]! * reach[k]! * steps[k]!;
    const theta = thetaOf(eta);
    if (theta.some((value) => Math.abs(value) > FARTHEST)) continue;
    const settled = deviance.settle(theta);
    const { residualSum, logTerms } = settled;
    drawn.push({
      seen: look(settled),
      log: -(logTerms + v * Math.log(residualSum)) / 2 - prior(eta) - logDraw,
      residualVariance: residualSum / chiSquaredUpperQuantile(upper, v),
    });
  }
  const most = drawn.reduce((largest, { log }) => Math.max(largest, log), Number.NEGATIVE_INFINITY);
  const sum = drawn.reduce((all, { log }) => all + Math.exp(log - most), 0);
  if (!(sum > 0)) return null;
  return drawn
    .map(({ log, ...one }) => ({ ...one, share: Math.exp(log - most) / sum }))
    .filter(({ share }) => share > LEAST_SHARE);
}

interface LatticePoint {
  /** As from Student's distribution, one for each parameter. */
  readonly steps: Float64Array;
  /** Logarithm of the density of the steps, up to a constant. */
  readonly logDraw: number;
  /** Between 0 and 1, for the residual variance. */
  readonly upper: number;
}

const lattices = new Map<number, readonly LatticePoint[]>();

function latticeOf(dimensions: number): readonly LatticePoint[] {
  const known = lattices.get(dimensions);
  if (known) return known;
  const made = Array.from({ length: MOST_POINTS }, (_, i): LatticePoint => {
    const at = (d: number) => ((i + 0.5) * Math.sqrt(PRIMES[d]!)) % 1;
    const steps = Float64Array.from({ length: dimensions }, (_, d) => studentUpperQuantile(at(d), TAIL));
    return {
      steps,
      logDraw: steps.reduce((sum, step) => sum - ((TAIL + 1) / 2) * Math.log1p((step * step) / TAIL), 0),
      upper: at(dimensions),
    };
  });
  lattices.set(dimensions, made);
  return made;
}
