import { countElements } from '../block-system.ts';
import type { Elimination } from '../elimination.ts';
import { type Eliminated, pairCount, pairIndex, zeroArrays } from '../elimination-level.ts';
import { costOf } from './cost.ts';
import { crossedState, positions } from './crossed-state.ts';
import type { CrossedSystem } from './crossed-system.ts';
import { differencedCurvature } from './differenced-curvature.ts';
import { effectTraces } from './effect-traces.ts';
import { frontFactor } from './front-factor.ts';
import { scaledProducts } from './scaled-products.ts';

/** Second derivatives that cost no more multiplications than this are worked out in every step of a search. */
const CHEAP = 5e6;
/** From here on they come from differences where these are cheaper. */
const DEAR_SUMS = 1e8;
/** And never where they cost more. */
const MOST = 5e9;
/** Multiplications of one evaluation from which on a search is sparing. */
const DEAR = 5e7;

/**
 * The elimination of a system of crossed factors, to the same end as that of nested ones (elimination.ts). With
 * A = Z'Z, B = Z'[X y] and M = I + Lambda' A Lambda = L L',
 *   log determinant = log |M|,   corner = [X y]'[X y] - W'W,  W = L^-1 Lambda' B,
 * and with T = B - A Lambda M^-1 Lambda' B = Z'V^-1 [X y] and N = A - A Lambda M^-1 Lambda' A = Z'V^-1 Z,
 *   d corner = -T' E T,   d2 corner = T' (E_i N E_j + E_j N E_i) T,
 *   d log determinant = tr(E N),   d2 log determinant = -tr(E_i N E_j N).
 * The last needs every entry of N; where that is dear it is left out of a search, which then goes by the average
 * information (profiled-deviance.ts).
 * Source: Bates and DebRoy (2004), J Multivariate Analysis 91, 1-17 (the factor); own derivation of the rest.
 */
export function prepareCrossedElimination(system: CrossedSystem): Elimination {
  const { stages, trailing: D, tree } = system;
  const m = countElements(system);
  const products = scaledProducts(system, tree);
  const factor = frontFactor(tree);
  const traces = effectTraces(system, tree, products, factor);
  const cost = costOf(system);
  const size = tree.effects;
  const B = new Float64Array(size * D);
  const T = new Float64Array(size * D);
  const work = new Float64Array(size * D);
  /** For every element E T, side by side, later N E T. */
  const all = m * D;
  const X = new Float64Array(size * all);
  const moved = new Float64Array(size * all);
  const again = new Float64Array(size * all);
  const result: Eliminated = {
    logDeterminant: 0,
    logDeterminantBy: new Float64Array(m),
    logDeterminantByTwo: new Float64Array(m * m),
    curvatureKnown: true,
    corner: new Float64Array(D * D),
    cornerBy: zeroArrays(m, D * D),
    cornerByTwo: zeroArrays(pairCount(m), D * D),
  };
  const elements = stages.flatMap((stage, s) => stage.elements.map(({ places }) => ({ stage: s, places })));
  const positionOf = positions(stages, tree.position);
  const current = stages.map(({ effects }) => new Float64Array(effects * effects));

  /** Where the effects of a stage's nodes stand. */
  const eachNode = (s: number, visit: (at: number) => void): void => {
    for (let node = 0; node < stages[s]!.nodes; node++) visit(positionOf(s, node));
  };
  /** out += factor T' E Y of element i, D x D; Y are D of the columns of `columns`. */
  const addForm = (
    out: Float64Array,
    i: number,
    by: number,
    Y: Float64Array,
    columns: number,
    first: number,
  ): void => {
    const { stage, places } = elements[i]!;
    eachNode(stage, (at) => {
      for (let e = 0; e < places.length; e += 2) {
        const left = (at + places[e]!) * D;
        const right = (at + places[e + 1]!) * columns + first;
        for (let a = 0; a < D; a++) {
          const x = by * T[left + a]!;
          for (let b = 0; b < D; b++) out[a * D + b] = out[a * D + b]! + x * Y[right + b]!;
        }
      }
    });
  };
  /** X = N E T for all elements. */
  const fillX = (factors: readonly Float64Array[]): void => {
    X.fill(0);
    elements.forEach(({ stage, places }, j) => {
      eachNode(stage, (at) => {
        for (let e = 0; e < places.length; e += 2) {
          const to = (at + places[e]!) * all + j * D;
          const from = (at + places[e + 1]!) * D;
          for (let a = 0; a < D; a++) X[to + a] = X[to + a]! + T[from + a]!;
        }
      });
    });
    products.times(X, all, moved);
    X.set(moved);
    products.scale(moved, all, factors, true);
    factor.forward(moved, all);
    factor.backward(moved, all);
    products.scale(moved, all, factors, false);
    products.times(moved, all, again);
    for (let k = 0; k < X.length; k++) X[k] = X[k]! - again[k]!;
  };

  const refactor = (factors: readonly Float64Array[]): number => {
    factors.forEach((lambda, s) => {
      current[s]!.set(lambda);
    });
    factor.clear();
    products.fill(factor, factors);
    return factor.factor();
  };
  const slopes = (factors: readonly Float64Array[], by: Float64Array): boolean => {
    if (!Number.isFinite(refactor(factors))) return false;
    traces.first(factors, by);
    return true;
  };

  const eliminate = (factors: readonly Float64Array[], derivatives: boolean, exact = false): Eliminated => {
    const differences = 4 * m * cost.evaluation;
    const differenced =
      derivatives && exact && cost.curvature > DEAR_SUMS && differences < Math.min(cost.curvature, MOST)
        ? differencedCurvature(stages, factors, slopes)
        : null;
    const wholeSums = !differenced && (cost.curvature <= CHEAP || (exact && cost.curvature <= MOST));
    result.logDeterminant = refactor(factors);
    if (!Number.isFinite(result.logDeterminant)) {
      result.logDeterminant = Number.NaN;
      return result;
    }
    products.outcomes(B);
    work.set(B);
    products.scale(work, D, factors, true);
    factor.forward(work, D);
    result.corner.set(system.corner);
    for (let k = 0; k < size; k++)
      for (let a = 0; a < D; a++) {
        const x = work[k * D + a]!;
        for (let b = 0; b < D; b++)
          result.corner[a * D + b] = result.corner[a * D + b]! - x * work[k * D + b]!;
      }
    if (!derivatives) return result;

    factor.backward(work, D);
    products.scale(work, D, factors, false);
    products.times(work, D, T);
    for (let k = 0; k < T.length; k++) T[k] = B[k]! - T[k]!;
    for (let i = 0; i < m; i++) {
      result.cornerBy[i]!.fill(0);
      addForm(result.cornerBy[i]!, i, -1, T, D, 0);
    }
    fillX(factors);
    for (let j = 0; j < m; j++)
      for (let i = 0; i <= j; i++) {
        const out = result.cornerByTwo[pairIndex(i, j)]!;
        out.fill(0);
        addForm(out, i, 1, X, all, j * D);
        for (let a = 0; a < D; a++)
          for (let b = 0; b <= a; b++) {
            const sum = out[a * D + b]! + out[b * D + a]!;
            out[a * D + b] = sum;
            out[b * D + a] = sum;
          }
      }
    result.curvatureKnown = differenced !== null || wholeSums;
    if (wholeSums) traces.both(factors, result.logDeterminantBy, result.logDeterminantByTwo);
    else {
      traces.first(factors, result.logDeterminantBy);
      if (differenced) result.logDeterminantByTwo.set(differenced);
      else result.logDeterminantByTwo.fill(0);
    }
    return result;
  };
  return {
    eliminated: result,
    dear: cost.evaluation > DEAR,
    eliminate,
    refresh(counts = null) {
      if (counts) throw new Error('refresh: levels of crossed factors cannot be counted several times');
    },
    nodes: {
      conditional: [],
      blocks: [],
      crossed: crossedState(system, products, factor, current, traces.blocks),
    },
  };
}
