import { gaussHermite } from '../generalised/gauss-hermite.ts';
import type { ConsistencyData } from './consistency-data.ts';

/** One level's sums at given fixed effects: with a = exp(-2 w'tau), r = y - x'beta over its rows. */
interface LevelSums {
  readonly rows: number;
  /** Sums of a, a r and a r^2, and of 2 w'tau. */
  readonly weight: number;
  readonly weighted: number;
  readonly square: number;
  readonly logVariance: number;
}

/**
 * How a level's two effects hang on two independent standard normals z and u: the log SD's is spread z, the mean's is
 * shared z + own u.
 */
export interface LevelEffects {
  readonly spread: number;
  readonly shared: number;
  readonly own: number;
}

export interface SpreadPoint {
  /** Minus twice the log likelihood, in the outcome's unit. */
  readonly value: number;
  /** Each level's log residual SD: the mean of w'tau over its rows plus the conditional mean of its effect. */
  readonly logSd: Float64Array;
  /** Conditional mean and variance of each level's effect on the log SD, and on the mean, in the unit of the fit. */
  readonly spreadMean: Float64Array;
  readonly spreadVariance: Float64Array;
  readonly meanEffect: Float64Array;
  readonly meanVariance: Float64Array;
}

/**
 * Variables: coefficients of the mean, then of the log SD (in the parts' own columns); the own and shared SD of the mean
 * effects, in units of the uncertainty of a level's mean; the logarithm of the SD of the effects on the log SD. The
 * last two are absent where the levels do not differ in spread.
 */
export function effectsOf(data: ConsistencyData, variables: Float64Array): LevelEffects {
  const at = data.mean.size + data.spread.size;
  const root = Math.sqrt(data.rows / data.groups.length);
  const differ = variables.length > at + 1;
  return {
    own: Math.abs(variables[at]!) / root,
    shared: differ ? variables[at + 1]! / root : 0,
    spread: differ ? Math.exp(variables[at + 2]!) : 0,
  };
}

/**
 * The likelihood of the location-scale model: given z the level's rows are normal with covariance
 * exp(2 spread z) diag(1 / a) + own^2 1 1' around x'beta + shared z, so that the mean's own effect is integrated in
 * closed form; z is integrated by adaptive Gauss-Hermite quadrature around its conditional mode.
 * Source: Hedeker, Mermelstein and Demirtas (2008), Biometrics 64, 627-634; Liu and Pierce (1994), Biometrika 81,
 * 624-629 (the quadrature).
 */
export function spreadLikelihood(
  data: ConsistencyData,
  points: number,
): (variables: Float64Array) => SpreadPoint {
  const { rows, groups, first, outcome, mean, spread, scale } = data;
  const { nodes, weights } = gaussHermite(points);
  const logWeights = weights.map((weight, k) => Math.log(weight) + 0.5 * nodes[k]! ** 2);
  return (variables) => {
    const effects = effectsOf(data, variables);
    const count = groups.length;
    const logSd = new Float64Array(count);
    const spreadMean = new Float64Array(count);
    const spreadVariance = new Float64Array(count);
    const meanEffect = new Float64Array(count);
    const meanVariance = new Float64Array(count);
    let value = rows * Math.log(2 * Math.PI) + 2 * rows * Math.log(scale);
    for (let g = 0; g < count; g++) {
      let weight = 0;
      let weighted = 0;
      let square = 0;
      let logVariance = 0;
      for (let i = first[g]!; i < first[g + 1]!; i++) {
        let r = outcome[i]!;
        for (let j = 0; j < mean.size; j++) r -= mean.columns[i * mean.size + j]! * variables[j]!;
        let log = 0;
        for (let j = 0; j < spread.size; j++)
          log += spread.columns[i * spread.size + j]! * variables[mean.size + j]!;
        const a = Math.exp(-2 * log);
        weight += a;
        weighted += a * r;
        square += a * r * r;
        logVariance += 2 * log;
      }
      const sums: LevelSums = { rows: first[g + 1]! - first[g]!, weight, weighted, square, logVariance };
      const { mode, sd } = effects.spread > 0 ? modeOf(sums, effects) : { mode: 0, sd: 0 };
      const places = effects.spread > 0 ? nodes.map((node) => mode + sd * node) : Float64Array.of(0);
      const logs = places.map((z, k) =>
        effects.spread > 0
          ? logWeights[k]! + Math.log(sd) - 0.5 * (conditional(sums, effects, z).deviance + z * z)
          : -0.5 * conditional(sums, effects, z).deviance,
      );
      const most = logs.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
      let total = 0;
      let z1 = 0;
      let z2 = 0;
      let v1 = 0;
      let v2 = 0;
      for (let k = 0; k < places.length; k++) {
        const share = Math.exp(logs[k]! - most);
        const z = places[k]!;
        const { effect, variance } = conditional(sums, effects, z);
        total += share;
        z1 += share * z;
        z2 += share * z * z;
        v1 += share * effect;
        v2 += share * (variance + effect * effect);
      }
      value -= 2 * (most + Math.log(total));
      const middle = z1 / total;
      spreadMean[g] = effects.spread * middle;
      spreadVariance[g] = effects.spread ** 2 * Math.max(0, z2 / total - middle * middle);
      meanEffect[g] = v1 / total;
      meanVariance[g] = Math.max(0, v2 / total - (v1 / total) ** 2);
      logSd[g] = logVariance / (2 * sums.rows) + spreadMean[g]!;
    }
    return { value, logSd, spreadMean, spreadVariance, meanEffect, meanVariance };
  };
}

/** Minus twice log f(y | z) but for n log 2 pi, and the mean effect's conditional mean and variance given z. */
function conditional(
  { rows, weight, weighted, square, logVariance }: LevelSums,
  { spread, shared, own }: LevelEffects,
  z: number,
): { deviance: number; effect: number; variance: number } {
  const precision = Math.exp(-2 * spread * z);
  const shift = shared * z;
  const e0 = precision * weight;
  const e1 = precision * (weighted - shift * weight);
  const e2 = precision * (square - 2 * shift * weighted + shift * shift * weight);
  const inflation = 1 + own * own * e0;
  return {
    deviance:
      logVariance + 2 * rows * spread * z + Math.log(inflation) + e2 - (own * own * e1 * e1) / inflation,
    effect: shift + (own * own * e1) / inflation,
    variance: (own * own) / inflation,
  };
}

/** The mode of f(y | z) phi(z) by Newton's method, with halving where a step does not climb, and the curvature there. */
function modeOf(sums: LevelSums, effects: LevelEffects): { mode: number; sd: number } {
  const { rows, weight } = sums;
  const { spread: s, shared: c, own } = effects;
  const d2 = own * own;
  const height = (z: number) => 0.5 * (conditional(sums, effects, z).deviance + z * z);
  let z = 0;
  let here = height(z);
  let bend = 1;
  for (let round = 0; round < 60; round++) {
    const k = Math.exp(-2 * s * z);
    const e0 = k * weight;
    const e1 = k * (sums.weighted - c * z * weight);
    const e2 = k * (sums.square - 2 * c * z * sums.weighted + c * c * z * z * weight);
    const f = 1 + d2 * e0;
    const e0d = -2 * s * e0;
    const e1d = -2 * s * e1 - c * e0;
    const e2d = -2 * s * e2 - 2 * c * e1;
    const e0dd = 4 * s * s * e0;
    const e1dd = -2 * s * e1d - c * e0d;
    const e2dd = -2 * s * e2d - 2 * c * e1d;
    const fd = d2 * e0d;
    const fdd = d2 * e0dd;
    const q1 = (2 * e1 * e1d) / f - (e1 * e1 * fd) / (f * f);
    const q2 =
      (2 * (e1d * e1d + e1 * e1dd)) / f -
      (4 * e1 * e1d * fd) / (f * f) -
      (e1 * e1 * fdd) / (f * f) +
      (2 * e1 * e1 * fd * fd) / (f * f * f);
    const slope = rows * s + 0.5 * (fd / f + e2d - d2 * q1) + z;
    const curvature = 0.5 * (fdd / f - (fd / f) ** 2 + e2dd - d2 * q2) + 1;
    bend = curvature > 0.05 ? curvature : 1;
    let step = -slope / bend;
    if (Math.abs(step) < 1e-11 * (1 + Math.abs(z))) break;
    let there = height(z + step);
    for (let half = 0; half < 40 && !(there <= here + 1e-13 * Math.abs(here)); half++) {
      step *= 0.5;
      there = height(z + step);
    }
    z += step;
    here = there;
  }
  return { mode: z, sd: 1 / Math.sqrt(bend) };
}
