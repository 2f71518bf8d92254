import {
  choleskyInPlace,
  logDeterminantOfFactor,
  type SecondOrder,
  solveLower,
  solveLowerTransposed,
} from '../../../numerics/index.ts';
import type { Criterion } from '../contract.ts';
import { type BlockSystem, countElements } from './block-system.ts';
import type { CovarianceShape } from './covariance-shape.ts';
import { type NodeState, prepareElimination } from './elimination.ts';
import { type Eliminated, pairIndex } from './elimination-level.ts';

/** All that is known at one theta. Arrays are overwritten by the next evaluation. */
export interface Evaluation extends SecondOrder {
  readonly eliminated: Eliminated;
  /** Fixed effects in the system's own columns. */
  readonly beta: Float64Array;
  /** Inverse of X' V^-1 X (relative covariance V), p x p. */
  readonly inverseInformation: Float64Array;
  /** Weighted residual sum of squares (y - X beta)' V^-1 (y - X beta). */
  readonly residualSum: number;
  /** By covariance element, before the chain rule. */
  readonly gradientByElement: Float64Array;
  /** d residualSum by element, and its second derivatives. */
  readonly residualSumBy: Float64Array;
  readonly residualSumByTwo: Float64Array;
  /** The part of the deviance that is neither residualSum nor a constant: log determinants, by element. */
  readonly logTermsBy: Float64Array;
  readonly logTermsByTwo: Float64Array;
}

export interface ProfiledDeviance {
  readonly evaluate: (theta: Float64Array) => Evaluation;
  /** Eliminates without derivatives, leaving the node states for conditional means. */
  readonly settle: (theta: Float64Array) => {
    beta: Float64Array;
    inverseInformation: Float64Array;
    residualSum: number;
  };
  readonly nodes: NodeState;
  readonly degrees: number;
}

/**
 * Minus twice the (restricted) log likelihood of a mixed model with fixed effects and residual variance
 * profiled out, as a function of theta, with exact gradient and Hessian:
 *   d = log |V| + [log |X' V^-1 X|] + v (1 + log(2 pi r^2 / v)),  v = n or n - p,
 * V being the outcome's covariance in units of the residual variance and r^2 = (y - X b)' V^-1 (y - X b).
 * Sources: Harville (1977), JASA 72, 320-338; Bates and DebRoy (2004), J Multivariate Analysis 91, 1-17 (the
 * profiled form). A point where V is not positive definite has the value NaN.
 */
export function profiledDeviance(
  system: BlockSystem,
  shape: CovarianceShape,
  criterion: Criterion,
): ProfiledDeviance {
  const { eliminate, nodes } = prepareElimination(system);
  const m = countElements(system);
  const D = system.trailing;
  const p = D - 1;
  const degrees = criterion === 'reml' ? system.rows - p : system.rows;
  const stageEffects = system.stages.map((stage) => stage.effects);
  const factors = stageEffects.map((q) => new Float64Array(q * q));
  const reml = criterion === 'reml';

  const solveFixed = (corner: Float64Array) => {
    const L = new Float64Array(p * p);
    const beta = new Float64Array(p);
    for (let a = 0; a < p; a++) {
      for (let b = 0; b < p; b++) L[a * p + b] = corner[a * D + b]!;
      beta[a] = corner[a * D + p]!;
    }
    if (!choleskyInPlace(L, p)) return null;
    solveLower(L, p, beta);
    let residualSum = corner[p * D + p]!;
    for (let a = 0; a < p; a++) residualSum -= beta[a]! * beta[a]!;
    solveLowerTransposed(L, p, beta);
    const inverse = new Float64Array(p * p);
    for (let j = 0; j < p; j++) {
      inverse[j * p + j] = 1;
      solveLower(L, p, inverse, j, p);
      solveLowerTransposed(L, p, inverse, j, p);
    }
    return { beta, inverseInformation: inverse, residualSum, logInformation: logDeterminantOfFactor(L, p) };
  };

  let last: { theta: Float64Array; evaluation: Evaluation } | null = null;
  const settle = (theta: Float64Array) => {
    last = null;
    shape.fillFactors(theta, factors, stageEffects);
    const solved = solveFixed(eliminate(factors, false).corner);
    if (!solved) throw new Error('profiledDeviance.settle: theta must lie where evaluate is finite');
    return solved;
  };

  const evaluate = (theta: Float64Array): Evaluation => {
    if (last?.theta.every((value, i) => value === theta[i])) return last.evaluation;
    const evaluation = compute(theta);
    last = { theta: Float64Array.from(theta), evaluation };
    return evaluation;
  };
  const compute = (theta: Float64Array): Evaluation => {
    shape.fillFactors(theta, factors, stageEffects);
    const eliminated = eliminate(factors, true);
    const solved = Number.isFinite(eliminated.logDeterminant) ? solveFixed(eliminated.corner) : null;
    const residualSumBy = new Float64Array(m);
    const residualSumByTwo = new Float64Array(m * m);
    const logTermsBy = Float64Array.from(eliminated.logDeterminantBy);
    const logTermsByTwo = Float64Array.from(eliminated.logDeterminantByTwo);
    if (!solved || !(solved.residualSum > 0)) {
      return {
        value: Number.NaN,
        gradient: new Float64Array(m),
        hessian: new Float64Array(m * m),
        eliminated,
        beta: new Float64Array(p),
        inverseInformation: new Float64Array(p * p),
        residualSum: 0,
        gradientByElement: new Float64Array(m),
        residualSumBy,
        residualSumByTwo,
        logTermsBy,
        logTermsByTwo,
      };
    }
    const { beta, inverseInformation: inverse, residualSum, logInformation } = solved;
    const v = new Float64Array(D);
    for (let a = 0; a < p; a++) v[a] = -beta[a]!;
    v[p] = 1;
    // corner_i v for each element: its first p entries are the score of the fixed effects.
    const scores: Float64Array[] = [];
    const carried: Float64Array[] = [];
    const spread: Float64Array[] = [];
    for (let i = 0; i < m; i++) {
      const Ti = eliminated.cornerBy[i]!;
      const score = new Float64Array(D);
      for (let a = 0; a < D; a++) {
        let sum = 0;
        for (let b = 0; b < D; b++) sum += Ti[a * D + b]! * v[b]!;
        score[a] = sum;
      }
      let quadratic = 0;
      for (let a = 0; a < D; a++) quadratic += v[a]! * score[a]!;
      residualSumBy[i] = quadratic;
      const half = new Float64Array(p);
      for (let a = 0; a < p; a++) {
        let sum = 0;
        for (let b = 0; b < p; b++) sum += inverse[a * p + b]! * score[b]!;
        half[a] = sum;
      }
      scores.push(score);
      carried.push(half);
      if (!reml) continue;
      const product = new Float64Array(p * p);
      let trace = 0;
      for (let a = 0; a < p; a++)
        for (let b = 0; b < p; b++) {
          let sum = 0;
          for (let k = 0; k < p; k++) sum += inverse[a * p + k]! * Ti[k * D + b]!;
          product[a * p + b] = sum;
          if (a === b) trace += sum;
        }
      spread.push(product);
      logTermsBy[i] = logTermsBy[i]! + trace;
    }
    for (let j = 0; j < m; j++)
      for (let i = 0; i <= j; i++) {
        const Tij = eliminated.cornerByTwo[pairIndex(i, j)]!;
        let quadratic = 0;
        for (let a = 0; a < D; a++) for (let b = 0; b < D; b++) quadratic += v[a]! * Tij[a * D + b]! * v[b]!;
        for (let a = 0; a < p; a++) quadratic -= 2 * scores[i]![a]! * carried[j]![a]!;
        residualSumByTwo[i * m + j] = quadratic;
        residualSumByTwo[j * m + i] = quadratic;
        if (!reml) continue;
        let trace = 0;
        for (let a = 0; a < p; a++)
          for (let b = 0; b < p; b++)
            trace += inverse[a * p + b]! * Tij[b * D + a]! - spread[i]![a * p + b]! * spread[j]![b * p + a]!;
        logTermsByTwo[i * m + j] = logTermsByTwo[i * m + j]! + trace;
        if (i !== j) logTermsByTwo[j * m + i] = logTermsByTwo[j * m + i]! + trace;
      }
    const gradientByElement = new Float64Array(m);
    const hessianByElement = new Float64Array(m * m);
    const scale = degrees / residualSum;
    for (let i = 0; i < m; i++) gradientByElement[i] = logTermsBy[i]! + scale * residualSumBy[i]!;
    for (let i = 0; i < m; i++)
      for (let j = 0; j < m; j++)
        hessianByElement[i * m + j] =
          logTermsByTwo[i * m + j]! +
          scale * (residualSumByTwo[i * m + j]! - (residualSumBy[i]! * residualSumBy[j]!) / residualSum);
    return {
      value:
        eliminated.logDeterminant +
        (reml ? logInformation : 0) +
        degrees * (1 + Math.log((2 * Math.PI * residualSum) / degrees)),
      ...shape.toTheta(theta, gradientByElement, hessianByElement),
      eliminated,
      beta,
      inverseInformation: inverse,
      residualSum,
      gradientByElement,
      residualSumBy,
      residualSumByTwo,
      logTermsBy,
      logTermsByTwo,
    };
  };
  return { evaluate, settle, nodes, degrees };
}
