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
import { prepareCrossedElimination } from './crossed/crossed-elimination.ts';
import { isCrossed } from './crossed/crossed-system.ts';
import { type NodeState, prepareElimination } from './elimination.ts';
import { type Eliminated, pairIndex } from './elimination-level.ts';

/** All that is known at one theta. The object and its arrays are overwritten by the next evaluation. */
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
  /**
   * Where the second derivatives of the log determinant are dear (large crossed systems), the Hessian is that of the
   * average information, unless `exact` asks for more; `eliminated.curvatureKnown` says which it is.
   */
  readonly evaluate: (theta: Float64Array, exact?: boolean) => Evaluation;
  /** Eliminates without derivatives, leaving the node states for conditional means. */
  readonly settle: (theta: Float64Array) => {
    beta: Float64Array;
    inverseInformation: Float64Array;
    residualSum: number;
    /** The part of the deviance that is neither residualSum nor a constant. */
    logTerms: number;
  };
  /** As that of the elimination, `rows` being their number with the counts: what is known of earlier ones is forgotten. */
  readonly refresh: (counts?: Float64Array | null, rows?: number) => void;
  readonly nodes: NodeState;
  readonly degrees: number;
  /** Whether one evaluation takes so long (a twentieth of a second or more) that a search must be sparing. */
  readonly dear: boolean;
}

/**
 * Minus twice the (restricted) log likelihood of a mixed model with fixed effects and residual variance
 * profiled out, as a function of theta, with exact gradient and Hessian:
 *   d = log |V| + [log |X' V^-1 X|] + v (1 + log(2 pi r^2 / v)),  v = n or n - p,
 * V being the outcome's covariance in units of the residual variance and r^2 = (y - X b)' V^-1 (y - X b).
 * The average information has y'P G_i P G_j P y, P being V^-1 without what the fixed effects take up, in the place of
 * the traces tr(P G_i P G_j) which it equals on average.
 * Sources: Harville (1977), JASA 72, 320-338; Bates and DebRoy (2004), J Multivariate Analysis 91, 1-17 (the
 * profiled form); Gilmour, Thompson and Cullis (1995), Biometrics 51, 1440-1450 (average information). A point where V is not positive definite has the value NaN.
 */
export function profiledDeviance(
  system: BlockSystem,
  shape: CovarianceShape,
  criterion: Criterion,
): ProfiledDeviance {
  const elimination = isCrossed(system) ? prepareCrossedElimination(system) : prepareElimination(system);
  const { eliminate, nodes } = elimination;
  const m = countElements(system);
  const D = system.trailing;
  const p = D - 1;
  const degreesOf = (rows: number) => (criterion === 'reml' ? rows - p : rows);
  let degrees = degreesOf(system.rows);
  const stageEffects = system.stages.map((stage) => stage.effects);
  const factors = stageEffects.map((q) => new Float64Array(q * q));
  const reml = criterion === 'reml';

  const L = new Float64Array(p * p);
  /** Solves for the fixed effects into `into`; the residual sum and log determinant, or null. */
  const solveFixed = (
    corner: Float64Array,
    { beta, inverseInformation: inverse }: { beta: Float64Array; inverseInformation: Float64Array },
  ): { residualSum: number; logInformation: number } | null => {
    for (let a = 0; a < p; a++) {
      for (let b = 0; b < p; b++) L[a * p + b] = corner[a * D + b]!;
      beta[a] = corner[a * D + p]!;
    }
    if (!choleskyInPlace(L, p)) return null;
    solveLower(L, p, beta);
    let residualSum = corner[p * D + p]!;
    for (let a = 0; a < p; a++) residualSum -= beta[a]! * beta[a]!;
    solveLowerTransposed(L, p, beta);
    inverse.fill(0);
    for (let j = 0; j < p; j++) {
      inverse[j * p + j] = 1;
      solveLower(L, p, inverse, j, p);
      solveLowerTransposed(L, p, inverse, j, p);
    }
    return { residualSum, logInformation: logDeterminantOfFactor(L, p) };
  };

  const here = {
    value: Number.NaN,
    gradient: new Float64Array(m),
    hessian: new Float64Array(m * m),
    eliminated: elimination.eliminated,
    beta: new Float64Array(p),
    inverseInformation: new Float64Array(p * p),
    residualSum: 0,
    gradientByElement: new Float64Array(m),
    residualSumBy: new Float64Array(m),
    residualSumByTwo: new Float64Array(m * m),
    logTermsBy: new Float64Array(m),
    logTermsByTwo: new Float64Array(m * m),
  };
  const hessianByElement = new Float64Array(m * m);
  const v = new Float64Array(D);
  /** corner_i v for each element: its first p entries are the score of the fixed effects. */
  const scores = new Float64Array(m * D);
  /** Those, times the inverse information. */
  const carried = new Float64Array(m * p);
  /** The inverse information times X' dV^-1 X of each element. */
  const spread = new Float64Array(reml ? m * p * p : 0);
  const known = new Float64Array(m).fill(Number.NaN);

  const settle = (theta: Float64Array) => {
    known.fill(Number.NaN);
    shape.fillFactors(theta, factors, stageEffects);
    const solved = { beta: new Float64Array(p), inverseInformation: new Float64Array(p * p) };
    const { corner, logDeterminant } = eliminate(factors, false);
    const sums = solveFixed(corner, solved);
    if (!sums) throw new Error('profiledDeviance.settle: theta must lie where evaluate is finite');
    const logTerms = logDeterminant + (reml ? sums.logInformation : 0);
    return { ...solved, residualSum: sums.residualSum, logTerms };
  };

  const evaluate = (theta: Float64Array, exact = false): Evaluation => {
    let same = m > 0 && (!exact || here.eliminated.curvatureKnown);
    for (let i = 0; i < m; i++) if (theta[i] !== known[i]) same = false;
    if (!same) {
      compute(theta, exact);
      known.set(theta);
    }
    return here;
  };
  const compute = (theta: Float64Array, exact: boolean): void => {
    shape.fillFactors(theta, factors, stageEffects);
    const eliminated = eliminate(factors, true, exact);
    const solved = Number.isFinite(eliminated.logDeterminant) ? solveFixed(eliminated.corner, here) : null;
    if (!solved || !(solved.residualSum > 0)) {
      here.value = Number.NaN;
      here.residualSum = 0;
      return;
    }
    const { beta, inverseInformation: inverse, residualSumBy, residualSumByTwo } = here;
    const { logTermsBy, logTermsByTwo, gradientByElement } = here;
    const { residualSum, logInformation } = solved;
    here.residualSum = residualSum;
    logTermsBy.set(eliminated.logDeterminantBy);
    logTermsByTwo.set(eliminated.logDeterminantByTwo);
    for (let a = 0; a < p; a++) v[a] = -beta[a]!;
    v[p] = 1;
    for (let i = 0; i < m; i++) {
      const Ti = eliminated.cornerBy[i]!;
      const score = i * D;
      let quadratic = 0;
      for (let a = 0; a < D; a++) {
        let sum = 0;
        for (let b = 0; b < D; b++) sum += Ti[a * D + b]! * v[b]!;
        scores[score + a] = sum;
        quadratic += v[a]! * sum;
      }
      residualSumBy[i] = quadratic;
      for (let a = 0; a < p; a++) {
        let sum = 0;
        for (let b = 0; b < p; b++) sum += inverse[a * p + b]! * scores[score + b]!;
        carried[i * p + a] = sum;
      }
      if (!reml) continue;
      let trace = 0;
      for (let a = 0, to = i * p * p; a < p; a++)
        for (let b = 0; b < p; b++, to++) {
          let sum = 0;
          for (let k = 0; k < p; k++) sum += inverse[a * p + k]! * Ti[k * D + b]!;
          spread[to] = sum;
          if (a === b) trace += sum;
        }
      logTermsBy[i] = logTermsBy[i]! + trace;
    }
    for (let j = 0; j < m; j++)
      for (let i = 0; i <= j; i++) {
        const Tij = eliminated.cornerByTwo[pairIndex(i, j)]!;
        let quadratic = 0;
        for (let a = 0; a < D; a++) {
          let sum = 0;
          for (let b = 0; b < D; b++) sum += Tij[a * D + b]! * v[b]!;
          quadratic += v[a]! * sum;
        }
        for (let a = 0; a < p; a++) quadratic -= 2 * scores[i * D + a]! * carried[j * p + a]!;
        residualSumByTwo[i * m + j] = quadratic;
        residualSumByTwo[j * m + i] = quadratic;
        if (!reml) continue;
        let trace = 0;
        const one = i * p * p;
        const other = j * p * p;
        for (let a = 0; a < p; a++)
          for (let b = 0; b < p; b++)
            trace +=
              inverse[a * p + b]! * Tij[b * D + a]! - spread[one + a * p + b]! * spread[other + b * p + a]!;
        logTermsByTwo[i * m + j] = logTermsByTwo[i * m + j]! + trace;
        if (i !== j) logTermsByTwo[j * m + i] = logTermsByTwo[j * m + i]! + trace;
      }
    const scale = degrees / residualSum;
    if (!eliminated.curvatureKnown)
      for (let i = 0; i < m * m; i++) {
        const averaged = -0.5 * scale * residualSumByTwo[i]!;
        eliminated.logDeterminantByTwo[i] = averaged - logTermsByTwo[i]!;
        logTermsByTwo[i] = averaged;
      }
    for (let i = 0; i < m; i++) {
      gradientByElement[i] = logTermsBy[i]! + scale * residualSumBy[i]!;
      for (let j = 0; j < m; j++)
        hessianByElement[i * m + j] =
          logTermsByTwo[i * m + j]! +
          scale * (residualSumByTwo[i * m + j]! - (residualSumBy[i]! * residualSumBy[j]!) / residualSum);
    }
    here.value =
      eliminated.logDeterminant +
      (reml ? logInformation : 0) +
      degrees * (1 + Math.log((2 * Math.PI * residualSum) / degrees));
    shape.fillTheta(theta, gradientByElement, hessianByElement, here);
  };
  const refresh = (counts: Float64Array | null = null, rows = system.rows): void => {
    known.fill(Number.NaN);
    degrees = degreesOf(rows);
    elimination.refresh(counts);
  };
  return {
    evaluate,
    settle,
    refresh,
    nodes,
    get degrees() {
      return degrees;
    },
    dear: elimination.dear ?? false,
  };
}
