import {
  choleskyInPlace,
  inverseOfPositiveDefinite,
  logDeterminantOfFactor,
} from '../../../numerics/index.ts';
import { accumulateGroup, type GroupSums } from './group-sums.ts';
import type { JointData } from './joint-data.ts';
import { jointParameters } from './joint-parameters.ts';

/** The joint likelihood at one point. */
export interface JointPoint {
  /** Minus twice the (restricted) log likelihood of outcome and predictor, in the units of the data. */
  readonly value: number;
  /** Coefficients of the other columns: first on the predictor, then on the outcome. */
  readonly coefficients: Float64Array;
  /** Inverse information of those coefficients at fixed variables, 2p x 2p. */
  readonly coefficientCovariance: Float64Array;
  /** Inverse information of coefficients and error-prone slopes in the calibrated regression, (2p + k) square. */
  readonly calibrated: Float64Array;
}

/**
 * The likelihood of outcome y and measured predictor x together, when x = xi + error with known error variance,
 * xi = Z alpha + group effect + deviation (both normal), and
 *   y = Z gamma + slopes on xi's deviation from its group mean and on that mean + random effects + residual.
 * It is f(x) f(y | x), where y given x is a mixed model on xi's conditional mean, with the conditional covariance of
 * xi carried into the residual. alpha and gamma are at their best for each point. The restricted likelihood
 * integrates over them and over the slopes (for these by Laplace, per unit of the calibrated predictor), so that it is
 * the ordinary one where the error is zero, and for a single regression gives the estimator of moments.
 * Sources: Fuller (1987), Measurement Error Models, sections 1.2 and 2.2; Carroll, Ruppert, Stefanski and
 * Crainiceanu (2006), Measurement Error in Nonlinear Models, 2nd ed., chapters 8 and 11.
 */
export function jointLikelihood(
  data: JointData,
  restricted: boolean,
): (variables: Float64Array) => JointPoint {
  const { rows, otherCount: p, terms, others, predictor, outcome, first } = data;
  const k = terms.length;
  const width = 3 * p + 3;
  const size = 2 * p + k;
  const base = new Float64Array(rows * width);
  // Z and y do not change from point to point.
  for (let i = 0; i < rows; i++) {
    for (let j = 0; j < p; j++) base[i * width + 2 * p + 2 + j] = others[i * p + j]!;
    base[i * width + width - 1] = outcome[i]!;
  }
  let logUpper = 0;
  for (let j = 0; j < p; j++) logUpper += Math.log(Math.abs(data.upper[j * p + j]!));
  const logY = Math.log(data.outcomeScale);
  const logX = Math.log(data.predictorScale);
  const measured = restricted ? slopeSpread(data, (i) => predictor[i]!) : 0;

  return (variables) => {
    const parameters = jointParameters(data, variables);
    const sums: GroupSums = {
      value: 2 * rows * Math.log(2 * Math.PI),
      predictor: new Float64Array((p + 1) * (p + 1)),
      outcome: new Float64Array(width * width),
    };
    for (let g = 0; g + 1 < first.length; g++)
      if (!accumulateGroup(data, parameters, first[g]!, first[g + 1]!, base, sums)) return failed(size, p);

    // [B (I - K) Z | Z | y - B K x] out of the base columns.
    const into = new Float64Array(width * (size + 1));
    const columns = size + 1;
    for (let j = 0; j < p; j++) {
      into[j * columns + j] = parameters.onDeviation;
      into[(p + j) * columns + j] = parameters.onMean;
      into[(2 * p + 2 + j) * columns + p + j] = 1;
    }
    into[2 * p * columns + size] = -parameters.onDeviation;
    into[(2 * p + 1) * columns + size] = -parameters.onMean;
    into[(width - 1) * columns + size] = 1;
    const system = congruence(sums.outcome, into, width, columns);
    for (let a = 0; a < p; a++)
      for (let b = 0; b < p; b++)
        system[a * columns + b] = system[a * columns + b]! + sums.predictor[a * (p + 1) + b]!;
    const information = new Float64Array(4 * p * p);
    const right = new Float64Array(2 * p);
    for (let a = 0; a < 2 * p; a++) {
      for (let b = 0; b < 2 * p; b++) information[a * 2 * p + b] = system[a * columns + b]!;
      right[a] = system[a * columns + size]! + (a < p ? sums.predictor[a * (p + 1) + p]! : 0);
    }
    const coefficientCovariance = inverseOfPositiveDefinite(information, 2 * p);
    if (!coefficientCovariance) return failed(size, p);
    const coefficients = new Float64Array(2 * p);
    let quadratic = system[size * columns + size]! + sums.predictor[(p + 1) * (p + 1) - 1]!;
    for (let a = 0; a < 2 * p; a++) {
      for (let b = 0; b < 2 * p; b++)
        coefficients[a] = coefficients[a]! + coefficientCovariance[a * 2 * p + b]! * right[b]!;
      quadratic -= coefficients[a]! * right[a]!;
    }

    // The calibrated predictor's columns join: the conditional mean of xi at the best alpha, split by term.
    terms.forEach(({ onDeviation, onMean }, t) => {
      const column = 2 * p + t;
      for (let j = 0; j < p; j++) {
        into[j * columns + column] = onDeviation * coefficients[j]!;
        into[(p + j) * columns + column] = onMean * coefficients[j]!;
      }
      into[2 * p * columns + column] = onDeviation;
      into[(2 * p + 1) * columns + column] = onMean;
    });
    const whole = congruence(sums.outcome, into, width, columns);
    const calibratedInformation = new Float64Array(size * size);
    for (let a = 0; a < size; a++)
      for (let b = 0; b < size; b++)
        calibratedInformation[a * size + b] =
          whole[a * columns + b]! + (a < p && b < p ? sums.predictor[a * (p + 1) + b]! : 0);
    const calibrated = inverseOfPositiveDefinite(calibratedInformation, size);
    if (!calibrated) return failed(size, p);
    let value = sums.value + quadratic + 2 * rows * (logY + logX);
    if (restricted) {
      choleskyInPlace(calibratedInformation, size);
      const expected = slopeSpread(data, (i) => {
        let mean = 0;
        for (let j = 0; j < p; j++)
          mean += (base[i * width + j]! + base[i * width + p + j]!) * coefficients[j]!;
        return mean + base[i * width + 2 * p]! + base[i * width + 2 * p + 1]!;
      });
      value +=
        logDeterminantOfFactor(calibratedInformation, size) -
        expected +
        measured -
        size * Math.log(2 * Math.PI) +
        4 * logUpper -
        2 * p * (logX + logY) +
        2 * k * (logX - logY);
    }
    return { value, coefficients, coefficientCovariance, calibrated };
  };
}

const failed = (size: number, p: number): JointPoint => ({
  value: Number.NaN,
  coefficients: new Float64Array(2 * p),
  coefficientCovariance: new Float64Array(4 * p * p),
  calibrated: new Float64Array(size * size),
});

/** log |D'(I - P_Z) D| for the columns that the slopes multiply, made of the given predictor. */
function slopeSpread(data: JointData, predictor: (row: number) => number): number {
  const { rows, first, others, otherCount: p, terms } = data;
  const k = terms.length;
  const square = new Float64Array(k * k);
  const shared = new Float64Array(p * k);
  const column = new Float64Array(k);
  for (let g = 0; g + 1 < first.length; g++) {
    let mean = 0;
    for (let i = first[g]!; i < first[g + 1]!; i++) mean += predictor(i);
    mean /= first[g + 1]! - first[g]!;
    for (let i = first[g]!; i < first[g + 1]!; i++) {
      const deviation = predictor(i) - mean;
      for (let t = 0; t < k; t++) column[t] = terms[t]!.onDeviation * deviation + terms[t]!.onMean * mean;
      for (let t = 0; t < k; t++) {
        for (let s = 0; s < k; s++) square[t * k + s] = square[t * k + s]! + column[t]! * column[s]!;
        for (let j = 0; j < p; j++) shared[j * k + t] = shared[j * k + t]! + others[i * p + j]! * column[t]!;
      }
    }
  }
  // The other columns are orthogonal with squared length `rows`.
  for (let t = 0; t < k; t++)
    for (let s = 0; s < k; s++)
      for (let j = 0; j < p; j++)
        square[t * k + s] = square[t * k + s]! - (shared[j * k + t]! * shared[j * k + s]!) / rows;
  return choleskyInPlace(square, k) ? logDeterminantOfFactor(square, k) : Number.NaN;
}

/** T' S T for S (n x n) and T (n x m). */
function congruence(s: Float64Array, t: Float64Array, n: number, m: number): Float64Array {
  const half = new Float64Array(n * m);
  for (let i = 0; i < n; i++)
    for (let l = 0; l < n; l++) {
      const value = s[i * n + l]!;
      if (value !== 0) for (let j = 0; j < m; j++) half[i * m + j] = half[i * m + j]! + value * t[l * m + j]!;
    }
  const out = new Float64Array(m * m);
  for (let i = 0; i < n; i++)
    for (let a = 0; a < m; a++) {
      const value = t[i * m + a]!;
      if (value !== 0)
        for (let b = 0; b < m; b++) out[a * m + b] = out[a * m + b]! + value * half[i * m + b]!;
    }
  return out;
}
