import { chiSquaredUpper } from '../chi-squared.ts';
import { fUpper } from '../f.ts';

/** P(rho / s > t) for the length rho of m independent normals. */
export function radialTail(t: number, m: number, df: number): number {
  return df === Infinity ? chiSquaredUpper(t * t, m) : fUpper((t * t) / m, m, df);
}
