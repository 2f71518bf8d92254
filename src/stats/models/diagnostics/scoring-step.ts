import { inverseOfPositiveDefinite, solveLower, solveLowerTransposed } from '../../../numerics/index.ts';
import { freePositions } from '../linear/covariance-shape.ts';
import type { FittedDesign } from '../linear/fitted-design.ts';
import { product, trace } from '../linear/variance-information.ts';
import type { PartSums } from './part-sums.ts';
import { semidefiniteRoot, type Variances } from './weighted-part.ts';

/**
 * One step of Fisher scoring of the variance parameters on the rows that `sums` are of, from the variances
 * those were made at: delta = -I^-1 d with d_k = tr V^-1 G_k - tr Phi X'V^-1 G_k V^-1 X - r'V^-1 G_k V^-1 r and
 * I = tr P G_k P G_l (under ml without the terms in Phi). A covariance that stands at its boundary is held; one
 * that the step takes beyond it is brought back by setting negative eigenvalues to zero. Null where the
 * information is singular or nothing is left of the residual variance.
 * Source: Jennrich and Schluchter (1986), Biometrics 42, 805-820.
 */
export function scoringStep(
  { design, optimum }: FittedDesign,
  sums: PartSums,
  solved: { readonly beta: Float64Array; readonly factor: Float64Array },
  variances: Variances,
  rows: number,
): Variances | null {
  const { shapeTerm } = design.assembled;
  const p = solved.beta.length;
  const D = p + 1;
  const reml = (design.model.criterion ?? 'reml') === 'reml';
  const phi = new Float64Array(p * p);
  for (let j = 0; j < p; j++) {
    phi[j * p + j] = 1;
    solveLower(solved.factor, p, phi, j, p);
    solveLowerTransposed(solved.factor, p, phi, j, p);
  }
  const v = Float64Array.from({ length: D }, (_, a) => (a < p ? -solved.beta[a]! : 1));
  const fixedPart = (matrix: Float64Array): Float64Array => {
    const out = new Float64Array(p * p);
    for (let a = 0; a < p; a++) for (let b = 0; b < p; b++) out[a * p + b] = matrix[a * D + b]!;
    return out;
  };
  const positions = design.terms.map(({ effects, kind }) =>
    freePositions({ stage: 0, offset: 0, copies: 1, effects: effects.length, kind }),
  );
  const free: number[] = [];
  let at = 0;
  positions.forEach((list, t) => {
    const inside = optimum.ranks[shapeTerm[t]!] === design.terms[t]!.effects.length;
    for (let e = 0; e < list.length; e++, at++) if (inside) free.push(at);
  });
  free.push(at);
  const phiBy = sums.by.map((matrix) => product(phi, fixedPart(matrix), p));
  const k = free.length;
  const score = Float64Array.from(free, (i) => {
    const matrix = sums.by[i]!;
    let quadratic = 0;
    for (let a = 0; a < D; a++) for (let b = 0; b < D; b++) quadratic += v[a]! * matrix[a * D + b]! * v[b]!;
    let spread = 0;
    if (reml) for (let a = 0; a < p; a++) spread += phiBy[i]![a * p + a]!;
    return sums.traces[i]! - spread - quadratic;
  });
  const information = new Float64Array(k * k);
  free.forEach((i, row) => {
    free.forEach((j, column) => {
      const [high, low] = i >= j ? [i, j] : [j, i];
      const pair = (high * (high + 1)) / 2 + low;
      let value = sums.tracesByTwo[pair]!;
      if (reml) value += trace(phiBy[i]!, phiBy[j]!, p) - 2 * trace(phi, fixedPart(sums.byTwo[pair]!), p);
      information[row * k + column] = value;
    });
  });
  const inverse = inverseOfPositiveDefinite(information, k);
  if (!inverse || rows <= p) return null;
  const step = Float64Array.from({ length: k }, (_, a) => {
    let sum = 0;
    for (let b = 0; b < k; b++) sum -= inverse[a * k + b]! * score[b]!;
    return sum;
  });
  const residual = variances.residual + step[k - 1]!;
  if (!(residual > 1e-6 * variances.residual)) return null;
  const stepOf = new Map(free.map((index, i) => [index, step[i]!]));
  at = 0;
  const sigmas = variances.sigmas.map((sigma, t) => {
    const q = design.terms[t]!.effects.length;
    const out = Float64Array.from(sigma);
    let moved = false;
    for (const [a, b] of positions[t]!) {
      const by = stepOf.get(at++);
      if (by === undefined) continue;
      moved = true;
      out[a * q + b] = out[a * q + b]! + by;
      if (a !== b) out[b * q + a] = out[b * q + a]! + by;
    }
    if (!moved) return out;
    const root = semidefiniteRoot(out);
    return product(root, transposed(root, q), q);
  });
  return { sigmas, residual };
}

function transposed(a: Float64Array, q: number): Float64Array {
  return a.map((_, at) => a[(at % q) * q + Math.floor(at / q)]!);
}
