import { inverseOfPositiveDefinite, solveLower } from '../../../numerics/index.ts';
import type { Fit } from '../contract.ts';
import { bilinear, dot } from '../inference/inference.ts';
import { stateOf } from '../linear/fitted-design.ts';
import { independentParts } from './parts.ts';
import { effectsLayout, fittedVariances, partProducts, weighted } from './weighted-part.ts';

/** The residuals of one usable row, in the outcome's unit and divided by their own standard deviations. */
export interface RowResidual {
  /** Number of the row in the data, from 1. */
  readonly row: number;
  /** Outcome minus the fixed effects. */
  readonly marginal: number;
  /** Outcome minus the fixed and the predicted random effects. */
  readonly conditional: number;
  /** Null where the row is reproduced whatever it holds, so that its residual is always zero. */
  readonly marginalStandardised: number | null;
  readonly conditionalStandardised: number | null;
}

/**
 * Residuals row by row. Standardised ones are divided by the square root of their exact variance at the
 * estimated variance parameters: s + z'Sigma z - x'Phi x for marginal, s^2 P_ii for conditional ones, P = V^-1
 * - V^-1 X Phi X'V^-1. Without random terms both are e / (s sqrt(1 - h)).
 * Throws for a fit that is not of a normal outcome, or that has a residual structure.
 * Source: Nobre and Singer (2007), Biometrical Journal 49, 863-875.
 *
 * @example residualDiagnostics(fit).map(({ marginal }) => marginal) // [-2, -1, 3]: of 1, 2, 6 from their mean
 */
export function residualDiagnostics(fit: Fit): RowResidual[] {
  const state = stateOf(fit);
  if (!state || state.residual)
    throw new Error(
      'residualDiagnostics: only fits of a normal outcome with independent residuals can be asked for it',
    );
  const { design } = state;
  const { terms, columns, rows: n, outcomeScale, keptRows } = design;
  const p = design.fixedNames.length;
  const D = p + 1;
  const variances = fittedVariances(state);
  const s = variances.residual;
  const parts = independentParts(design).map((rows) => {
    const products = partProducts(state, rows);
    return { rows, products, ...weighted(products, variances) };
  });
  const information = new Float64Array(p * p);
  const score = new Float64Array(p);
  for (const { inner } of parts)
    for (let a = 0; a < p; a++) {
      score[a] = score[a]! + inner[a * D + p]!;
      for (let b = 0; b < p; b++) information[a * p + b] = information[a * p + b]! + inner[a * D + b]!;
    }
  const phi = inverseOfPositiveDefinite(information, p)!;
  const v = Float64Array.from({ length: D }, (_, a) =>
    a < p ? -dot(phi.subarray(a * p, (a + 1) * p), score) : 1,
  );
  const weights = design.model.weights === undefined ? null : design.kept.numbers(design.model.weights);
  const out = new Array<RowResidual>(n);
  for (const { rows, factor, roots, carried, size } of parts) {
    const { offsetOf } = effectsLayout(design, rows);
    for (const i of rows) {
      const u = Float64Array.from({ length: D }, (_, k) =>
        k < p ? columns.fixed[k * n + i]! : columns.outcome[i]!,
      );
      const f = new Float64Array(size);
      let spread = 0;
      terms.forEach(({ effects, values }, t) => {
        const q = effects.length;
        const z = values.subarray(i * q, (i + 1) * q);
        const offset = offsetOf(t, i);
        for (let a = 0; a < q; a++)
          for (let b = 0; b < q; b++) f[offset + a] = f[offset + a]! + roots[t]![b * q + a]! * z[b]!;
        spread += bilinear(z, variances.sigmas[t]!, z);
      });
      solveLower(factor, size, f);
      // Row i of V^-1 U, and the diagonal of V^-1.
      const w = u.map((value, k) => {
        let sum = 0;
        for (let a = 0; a < size; a++) sum += f[a]! * carried[a * D + k]!;
        return (value - sum / s) / s;
      });
      const diagonal = (1 - dot(f, f) / s) / s;
      const x = u.subarray(0, p);
      const wx = w.subarray(0, p);
      const marginal = dot(u, v);
      const conditional = s * dot(w, v);
      const marginalVariance = spread + s - bilinear(x, phi, x);
      const conditionalVariance = s * s * (diagonal - bilinear(wx, phi, wx));
      const unit = outcomeScale / (weights ? Math.sqrt(weights[i]!) : 1);
      const standard = (value: number, variance: number) =>
        variance > 1e-10 * s ? value / Math.sqrt(variance) : null;
      out[i] = {
        row: keptRows[i]! + 1,
        marginal: marginal * unit,
        conditional: conditional * unit,
        marginalStandardised: standard(marginal, marginalVariance),
        conditionalStandardised: standard(conditional, conditionalVariance),
      };
    }
  }
  return out;
}
