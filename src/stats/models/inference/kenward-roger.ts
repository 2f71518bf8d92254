import { inverseOfPositiveDefinite } from '../../../numerics/index.ts';
import { pairIndex } from '../linear/elimination-level.ts';
import { product, trace, type VarianceInformation } from '../linear/variance-information.ts';
import { bilinear, type Inference } from './inference.ts';
import { waldF } from './wald-test.ts';

/**
 * Kenward and Roger's adjusted covariance of the fixed effects and their scaled F tests:
 *   Phi_A = Phi + 2 Phi [ sum_ij W_ij (Q_ij - P_i Phi P_j) ] Phi,
 * W being the inverse expected information of the variance parameters. A single contrast has 2 / A degrees of
 * freedom and no scaling; a joint test is scaled by lambda with the denominator of the paper's section 3.
 * `phi` is (X' V^-1 X)^-1 in units of the residual variance.
 * Source: Kenward and Roger (1997), Biometrics 53, 983-997.
 */
export function kenwardRoger(
  phi: Float64Array,
  p: number,
  information: VarianceInformation,
): Inference | null {
  const { parameters: k, first, second, inverse: w } = information;
  if (!w) return null;
  const phiP = first.map((P) => product(phi, P, p));
  const inner = new Float64Array(p * p);
  for (let i = 0; i < k; i++)
    for (let j = 0; j < k; j++) {
      const weight = w[i * k + j]!;
      const Q = second[i <= j ? pairIndex(i, j) : pairIndex(j, i)]!;
      const PP = product(first[i]!, phiP[j]!, p);
      for (let a = 0; a < p * p; a++) inner[a] = inner[a]! + weight * (Q[a]! - PP[a]!);
    }
  const added = product(product(phi, inner, p), phi, p);
  const covariance = new Float64Array(p * p);
  for (let a = 0; a < p; a++)
    for (let b = 0; b < p; b++)
      covariance[a * p + b] = phi[a * p + b]! + added[a * p + b]! + added[b * p + a]!;
  /** Phi P_i Phi for each variance parameter. */
  const moved = phiP.map((PP) => product(PP, phi, p));

  const degreesOfFreedom = (contrast: Float64Array): number => {
    const f = bilinear(contrast, phi, contrast);
    const slopes = Float64Array.from(moved, (M) => bilinear(contrast, M, contrast) / f);
    return 2 / bilinear(slopes, w, slopes);
  };
  return {
    covariance,
    degreesOfFreedom,
    test(contrasts, beta) {
      const q = contrasts.length;
      const plain = waldF(contrasts, beta, covariance);
      if (q === 1) return { numeratorDf: 1, denominatorDf: degreesOfFreedom(contrasts[0]!), f: plain };
      const joint = new Float64Array(q * q);
      contrasts.forEach((c, i) => {
        contrasts.forEach((d, j) => {
          joint[i * q + j] = bilinear(c, phi, d);
        });
      });
      const solved = inverseOfPositiveDefinite(joint, q);
      if (!solved) return { numeratorDf: q, denominatorDf: Number.NaN, f: Number.NaN };
      // Theta Phi P_i Phi seen through the contrasts: (L Phi L')^-1 L Phi P_i Phi L'.
      const seen = moved.map((M) => {
        const middle = new Float64Array(q * q);
        contrasts.forEach((c, i) => {
          contrasts.forEach((d, j) => {
            middle[i * q + j] = bilinear(c, M, d);
          });
        });
        return product(solved, middle, q);
      });
      const unit = new Float64Array(q * q);
      for (let i = 0; i < q; i++) unit[i * q + i] = 1;
      const single = seen.map((A) => trace(A, unit, q));
      let a1 = 0;
      let a2 = 0;
      for (let i = 0; i < k; i++)
        for (let j = 0; j < k; j++) {
          a1 += w[i * k + j]! * single[i]! * single[j]!;
          a2 += w[i * k + j]! * trace(seen[i]!, seen[j]!, q);
        }
      const { denominatorDf, scale } = scaledDenominator(q, a1, a2);
      return { numeratorDf: q, denominatorDf, f: scale * plain };
    },
  };
}

/** Section 3 of the paper: the denominator and the factor of F from the moments A1 and A2. */
function scaledDenominator(q: number, a1: number, a2: number): { denominatorDf: number; scale: number } {
  const b = (a1 + 6 * a2) / (2 * q);
  const g = ((q + 1) * a1 - (q + 4) * a2) / ((q + 2) * a2);
  const under = 3 * q + 2 * (1 - g);
  const c1 = g / under;
  const c2 = (q - g) / under;
  const c3 = (q + 2 - g) / under;
  const mean = 1 / (1 - a2 / q);
  let v0 = 1 + c1 * b;
  if (Math.abs(v0) < 1e-10) v0 = 0;
  const v1 = 1 - c2 * b;
  const v2 = 1 - c3 * b;
  // rho = V / (2 E^2) with V = (2 / q) v0 / (v1^2 v2); where 1 - a2 / q and v1 vanish together their ratio is 1.
  const ratio = Math.abs(v1) < 1e-14 && Math.abs(1 / mean) < 1e-14 ? 1 : 1 / (mean * v1);
  const rho = (ratio * ratio * v0) / (q * v2);
  const denominatorDf = 4 + (q + 2) / (q * rho - 1);
  const scale = Math.abs(denominatorDf - 2) < 1e-14 ? 1 : denominatorDf / (mean * (denominatorDf - 2));
  return { denominatorDf, scale };
}
