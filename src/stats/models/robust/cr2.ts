import { symmetricEigen } from '../../../numerics/index.ts';
import { dot, type Inference } from '../inference/inference.ts';
import { waldF } from '../inference/wald-test.ts';
import { congruent } from '../linear/random-estimates.ts';
import { addOuter, type LeastSquaresRows } from './least-squares-rows.ts';

/** Directions of which a group keeps less than this share in its residuals are lost to it. */
const NOTHING_LEFT = 1e-10;

/**
 * The cluster-robust covariance CR2 of least squares: the residuals of each group are corrected so that the
 * estimate is unbiased where the rows are in truth independent and equally spread. With X = Q R, rows Q_g and
 * residuals e_g of group g, and T_g = (I - Q_g'Q_g)^(-1/2) (its pseudo-inverse where singular), it is
 *   sum_g u_g u_g',  u_g = T_g Q_g' e_g,
 * the p x p form of Q_g' (I - H_gg)^(-1/2) e_g. Under that working model a contrast's variance is a quadratic form
 * in the errors whose mean and variance give Satterthwaite's degrees of freedom; a joint test of q contrasts is
 * the approximate Hotelling test with eta = q (q + 1) / sum Var(d_st) from the same moments and the denominator
 * eta - q + 1. With weights the rows are first scaled to equal variance.
 * Sources: Bell and McCaffrey (2002), Survey Methodology 28, 169-181; Pustejovsky and Tipton (2018), J Business and
 * Economic Statistics 36, 672-683.
 *
 * @param group the group of each row, numbered from 0
 */
export function cr2(
  { n, p, row, residuals }: LeastSquaresRows,
  group: Int32Array,
  groups: number,
): Inference {
  const cross = Array.from({ length: groups }, () => new Float64Array(p * p));
  const scores = Array.from({ length: groups }, () => new Float64Array(p));
  for (let i = 0; i < n; i++) {
    const x = row(i);
    addOuter(cross[group[i]!]!, x);
    const score = scores[group[i]!]!;
    for (let a = 0; a < p; a++) score[a] = score[a]! + x[a]! * residuals[i]!;
  }
  const roots = cross.map((G) => inverseRoot(G, p));
  const covariance = new Float64Array(p * p);
  scores.forEach((score, g) => {
    addOuter(covariance, times(roots[g]!, score, p));
  });

  /** For each group the vector G_g T_g a and the number a' T_g G_g T_g a, which make up p_g' p_h. */
  const projected = (a: Float64Array) =>
    cross.map((G, g) => {
      const turned = times(roots[g]!, a, p);
      return { turned, carried: times(G, turned, p) };
    });
  type Projected = ReturnType<typeof projected>;
  /** p_sg' p_th, the covariance of the two linear forms of the errors. */
  const product = (s: Projected, t: Projected, g: number, h: number): number =>
    (g === h ? dot(s[g]!.turned, t[g]!.carried) : 0) - dot(s[g]!.carried, t[h]!.carried);
  const expected = (s: Projected, t: Projected): number => {
    let sum = 0;
    for (let g = 0; g < groups; g++) sum += product(s, t, g, g);
    return sum;
  };

  // Unbiased means expected = a'a; less is left where a group takes up a direction whole.
  const missing = (contrast: Float64Array): string | null => {
    const s = projected(contrast);
    return expected(s, s) > (1 - 1e-6) * dot(contrast, contrast)
      ? null
      : 'a single group alone determines part of it, so its spread between groups cannot be seen';
  };
  const degreesOfFreedom = (contrast: Float64Array): number => {
    const s = projected(contrast);
    let squares = 0;
    for (let g = 0; g < groups; g++) for (let h = 0; h < groups; h++) squares += product(s, s, g, h) ** 2;
    return expected(s, s) ** 2 / squares;
  };
  return {
    covariance,
    missing,
    degreesOfFreedom,
    test(contrasts, beta) {
      const size = contrasts.length;
      const none = { numeratorDf: size, denominatorDf: Number.NaN, f: Number.NaN };
      if (contrasts.some((contrast) => missing(contrast) !== null)) return none;
      const plain = contrasts.map(projected);
      const omega = new Float64Array(size * size);
      plain.forEach((s, i) => {
        plain.forEach((t, j) => {
          omega[i * size + j] = expected(s, t);
        });
      });
      const { values, vectors } = symmetricEigen(omega, size);
      if (!(values[0]! > 1e-12 * values[size - 1]!)) return none;
      // Contrasts turned so that the expected covariance is the identity.
      const turned = contrasts.map((_, k) => {
        const out = new Float64Array(p);
        contrasts.forEach((c, i) => {
          const weight = vectors[i * size + k]! / Math.sqrt(values[k]!);
          for (let a = 0; a < p; a++) out[a] = out[a]! + weight * c[a]!;
        });
        return projected(out);
      });
      let variance = 0;
      for (const s of turned)
        for (const t of turned)
          for (let g = 0; g < groups; g++)
            for (let h = 0; h < groups; h++)
              variance +=
                product(s, s, g, h) * product(t, t, g, h) + product(s, t, g, h) * product(t, s, g, h);
      const eta = (size * (size + 1)) / variance;
      const denominatorDf = eta - size + 1;
      const f = waldF(contrasts, beta, covariance);
      return {
        numeratorDf: size,
        denominatorDf,
        f: denominatorDf > 0 ? (f * denominatorDf) / eta : Number.NaN,
      };
    },
  };
}

/** (I - G)^(-1/2), zero in the directions that G takes up whole. */
function inverseRoot(G: Float64Array, p: number): Float64Array {
  const { values, vectors } = symmetricEigen(G, p);
  const middle = new Float64Array(p * p);
  values.forEach((value, k) => {
    middle[k * p + k] = 1 - value > NOTHING_LEFT ? 1 / Math.sqrt(1 - value) : 0;
  });
  return congruent(vectors, middle, p);
}

function times(a: Float64Array, v: Float64Array, p: number): Float64Array {
  return Float64Array.from({ length: p }, (_, i) => dot(a.subarray(i * p, (i + 1) * p), v));
}
