import { freePositions } from '../linear/covariance-shape.ts';
import type { GeneralisedDesign } from './generalised-design.ts';
import { type Mode, modeSearch } from './mode.ts';
import { quadrature } from './quadrature.ts';
import { pairGrid, type RandomLayout } from './random/random-layout.ts';
import { thresholdsOf, toThresholdParameters } from './threshold-parameters.ts';

/**
 * Minus the log likelihood of a model with random terms (without the constant of the data) as a function of
 * [threshold parameters | coefficients in the coordinates of the fit | covariance parameters].
 */
export interface Approximation {
  readonly parameters: number;
  evaluate(parameters: Float64Array): { readonly value: number; readonly gradient: Float64Array };
  /** The state at the last `evaluate`. */
  readonly mode: Mode;
  /** Random effects in the coordinates of the fit at the last `evaluate`, one for each effect of the layout. */
  randomEffects(out: Float64Array): void;
}

/**
 * Laplace's approximation, or adaptive Gauss-Hermite quadrature with `points` nodes for a single scalar random
 * term. With spherical effects b (u = Lambda b), eta = X beta + Z Lambda b, F = -sum log f + b'b / 2 least at
 * b = mode, and H its second derivative there,
 *   -log L = F(mode) + log|H| / 2.
 * The gradient is exact: the mode's own movement is carried by one solution of H a = s, s being the derivative of
 * log|H| / 2 by b (implicit differentiation).
 * Sources: Tierney and Kadane (1986), JASA 81, 82-86; Pinheiro and Bates (1995), J Comput Graph Statist 4, 12-35;
 * gradient by the chain rule, as Skaug and Fournier (2006), Comput Statist Data Anal 51, 699-709 do it by machine.
 */
export function approximation(
  design: GeneralisedDesign,
  layout: RandomLayout,
  points: number,
): Approximation {
  const { rows, likelihood, x, terms } = design;
  const p = design.fixedNames.length;
  const cuts = likelihood.thresholds?.count ?? 0;
  const { perRow, effect, shape } = layout;
  const variances = shape.starts.at(-1)!;
  const parameters = cuts + p + variances;
  const mode = modeSearch(design, layout);
  const { b, factor, columns, terms: rowsNow } = mode;
  const nodes = points > 1 ? quadrature(design, layout, mode, points) : null;

  const lastAt = new Float64Array(parameters);
  let last: { readonly value: number; readonly gradient: Float64Array } | null = null;
  const byEta = new Float64Array(rows);
  const along = new Float64Array(rows);
  const halfLeverage = new Float64Array(rows);
  /** rows x perRow: H^-1 v for each row's own slots. */
  const carried = new Float64Array(rows * perRow);
  const grid = pairGrid(layout, rows);
  /** Per effect the factor of its part of d log|H| / 2. */
  const kept = nodes ? nodes.kept : new Float64Array(layout.effects).fill(1);
  const adjoint = new Float64Array(layout.effects);
  const byThreshold = new Float64Array(cuts);
  const positions = shape.terms.map(freePositions);

  /** Leverages v' H^-1 v, and the adjoint of the mode. */
  const settleAdjoint = (): void => {
    const { inverse } = factor;
    const { weight, bend } = rowsNow;
    factor.invert();
    if (nodes) adjoint.set(nodes.pull);
    else adjoint.fill(0);
    for (let i = 0; i < rows; i++) {
      const at = i * perRow;
      let leverage = 0;
      for (let r = 0; r < perRow; r++) {
        let sum = 0;
        for (let s = 0; s < perRow; s++) sum += inverse[grid[(at + r) * perRow + s]!]! * columns[at + s]!;
        carried[at + r] = sum;
        leverage += sum * columns[at + r]!;
      }
      const half = 0.5 * kept[effect[at]!]! * leverage;
      halfLeverage[i] = half;
      for (let r = 0; r < perRow; r++) {
        const j = effect[at + r]!;
        adjoint[j] = adjoint[j]! + half * bend[i]! * columns[at + r]!;
      }
    }
    factor.solve(adjoint);
    for (let i = 0; i < rows; i++) {
      let sum = 0;
      for (let r = 0; r < perRow; r++) sum += columns[i * perRow + r]! * adjoint[effect[i * perRow + r]!]!;
      along[i] = sum;
      byEta[i] = halfLeverage[i]! * bend[i]! - weight[i]! * sum;
    }
  };

  const gradientOf = (psi: Float64Array): Float64Array => {
    const { score, weight } = rowsNow;
    const direct = nodes ? nodes.score : score;
    const gradient = new Float64Array(parameters);
    for (let k = 0; k < p; k++) {
      const column = k * rows;
      let sum = 0;
      for (let i = 0; i < rows; i++) sum += x[column + i]! * (byEta[i]! - direct[i]!);
      gradient[cuts + k] = sum;
    }
    let place = cuts + p;
    terms.forEach(({ values, effects }, t) => {
      const q = effects.length;
      const { slot } = layout.terms[t]!;
      for (const [a, c] of positions[t]!) {
        let sum = 0;
        for (let i = 0; i < rows; i++) {
          const at = i * perRow + slot + c;
          const j = effect[at]!;
          const pulled = nodes ? nodes.scoreTimesEffect[i]! : score[i]! * b[j]!;
          sum +=
            values[i * q + a]! *
            (byEta[i]! * b[j]! - pulled + weight[i]! * kept[j]! * carried[at]! + score[i]! * adjoint[j]!);
        }
        gradient[place++] = sum;
      }
    });
    if (likelihood.thresholds) {
      byThreshold.fill(0);
      if (nodes) {
        nodes.addThresholdScore(byThreshold);
        mode.refresh();
      } else likelihood.thresholds.addScore(null, byThreshold);
      for (let k = 0; k < cuts; k++) byThreshold[k] = -byThreshold[k]!;
      likelihood.thresholds.addBend(halfLeverage, along, byThreshold);
      toThresholdParameters(psi, byThreshold, gradient);
    }
    return gradient;
  };

  return {
    parameters,
    mode,
    evaluate(psi) {
      if (last && psi.every((value, i) => value === lastAt[i])) return last;
      lastAt.set(psi);
      const least = mode.find(thresholdsOf(psi, cuts), psi.subarray(cuts, cuts + p), psi.subarray(cuts + p));
      if (Number.isFinite(least)) {
        const value = nodes ? nodes.evaluate() : least + 0.5 * factor.logDeterminant();
        settleAdjoint();
        last = { value, gradient: gradientOf(psi) };
        // Quadrature leaves the row terms at its last node.
        if (nodes) mode.refresh();
      } else last = { value: Number.POSITIVE_INFINITY, gradient: new Float64Array(parameters) };
      return last;
    },
    randomEffects(out) {
      terms.forEach((term, t) => {
        const q = term.effects.length;
        const lambda = mode.lambda[t]!;
        for (const first of layout.terms[t]!.first)
          for (let a = 0; a < q; a++) {
            let sum = 0;
            for (let c = 0; c <= a; c++) sum += lambda[a * q + c]! * b[first + c]!;
            out[first + a] = sum;
          }
      });
    },
  };
}
