import { dot, type Inference } from '../inference/inference.ts';
import { waldF } from '../inference/wald-test.ts';
import { addOuter, type LeastSquaresRows } from './least-squares-rows.ts';

/** A leverage this near 1 leaves no residual to learn from. */
const WHOLE = 1 - 1e-10;

/**
 * The heteroscedasticity-robust covariance HC3 of least squares,
 *   (X'X)^-1 [ sum_i x_i x_i' e_i^2 / (1 - h_i)^2 ] (X'X)^-1,
 * h_i being the leverage of row i, with n - p degrees of freedom. A row of leverage 1 is reproduced whatever it
 * holds: the effects it determines have no robust variance, and no other effect depends on it.
 * Sources: MacKinnon and White (1985), J Econometrics 29, 305-325; Long and Ervin (2000), American Statistician
 * 54, 217-224 (why HC3 for small samples).
 */
export function hc3({ n, p, row, residuals, places }: LeastSquaresRows): Inference {
  const covariance = new Float64Array(p * p);
  const alone: { x: Float64Array; place: number }[] = [];
  for (let i = 0; i < n; i++) {
    const x = row(i);
    const leverage = dot(x, x);
    if (leverage > WHOLE) alone.push({ x, place: places[i]! });
    else
      addOuter(
        covariance,
        x.map((value) => (value * residuals[i]!) / (1 - leverage)),
      );
  }
  const missing = (contrast: Float64Array): string | null => {
    const length = Math.sqrt(dot(contrast, contrast));
    const found = alone.find(({ x }) => Math.abs(dot(x, contrast)) > 1e-8 * length);
    return found ? `data row ${found.place + 1} alone determines it, so its spread cannot be seen` : null;
  };
  return {
    covariance,
    missing,
    degreesOfFreedom: () => n - p,
    test: (contrasts, beta) => ({
      numeratorDf: contrasts.length,
      denominatorDf: n - p,
      f: contrasts.every((contrast) => missing(contrast) === null)
        ? waldF(contrasts, beta, covariance)
        : Number.NaN,
    }),
  };
}
