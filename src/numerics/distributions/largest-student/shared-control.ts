import { integrateLine } from '../../integrate/integrate-line.ts';
import { normalDensity, normalLower, normalUpper } from '../normal.ts';
import { overPooledSd } from '../over-pooled-sd.ts';

/** The l_i with r_ij = l_i l_j up to signs that |T| does not see; null where there are none. */
export function sharedControl(at: (i: number, j: number) => number, k: number): Float64Array | null {
  const loadings = new Float64Array(k);
  for (let i = 0; i < k; i++) {
    // l_i^2 = r_ij r_il / r_jl from the most correlated pair of others; without one, i goes with a single other.
    let pair = 0;
    let square = 0;
    for (let j = 0; j < k; j++) {
      if (j !== i && pair === 0) square = Math.max(square, Math.abs(at(i, j)));
      for (let l = 0; l < j; l++) {
        if (j === i || l === i || Math.abs(at(j, l)) <= Math.max(pair, 1e-12)) continue;
        pair = Math.abs(at(j, l));
        square = Math.abs(at(i, j) * at(i, l)) / pair;
      }
    }
    if (!(square < 1)) return null;
    loadings[i] = Math.sqrt(square);
  }
  // Signs follow the first variable; one pattern must explain them all.
  for (let i = 1; i < k; i++) if (at(0, i) < 0) loadings[i] = -loadings[i]!;
  for (let i = 0; i < k; i++)
    for (let j = 0; j < i; j++) if (Math.abs(at(i, j) - loadings[i]! * loadings[j]!) > 1e-10) return null;
  return loadings;
}

/**
 * P(max |T_i| > c) where T_i = (sqrt(1 - l_i^2) e_i + l_i z) / s: given the shared part z and s the variables
 * are independent.
 * Source: Dunnett (1955), JASA 50, 1096-1121.
 */
export function sharedControlUpper(c: number, loadings: Float64Array, df: number): number {
  const given = (limit: number): number =>
    2 *
    integrateLine(
      // The shared part z counts from zero up, both signs being alike; z = exp(t - e^-t) dies out fast on both sides.
      (t) => {
        const decay = Math.exp(-t);
        const z = Math.exp(t - decay);
        if (z === 0) return 0;
        let inside = 0;
        for (const l of loadings) {
          const own = Math.sqrt(1 - l * l);
          const out = normalUpper((limit - l * z) / own) + normalLower((-limit - l * z) / own);
          inside += Math.log1p(-Math.min(1, out));
        }
        return z * (1 + decay) * normalDensity(z) * -Math.expm1(inside);
      },
      0,
      0.5,
    );
  return overPooledSd((s) => given(c * s), df);
}
