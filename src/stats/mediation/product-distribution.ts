import { integrateInterval, normalDensity, normalLower } from '../../numerics/index.ts';

/** Two estimates with normal errors: means, SDs above zero, and their correlation (default 0). */
export interface TwoNormals {
  readonly a: number;
  readonly sdA: number;
  readonly b: number;
  readonly sdB: number;
  readonly correlation?: number;
}

/** Beyond this many SDs a normal has less than 1e-22 of its weight. */
const FAR = 9.8;

function check({ a, sdA, b, sdB, correlation = 0 }: TwoNormals, name: string): void {
  if (!(sdA > 0 && sdB > 0 && Number.isFinite(a + b + sdA + sdB)))
    throw new Error(`${name}: both standard errors must be above zero; found ${sdA} and ${sdB}`);
  if (!(Math.abs(correlation) < 1))
    throw new Error(`${name}: the correlation must lie between -1 and 1; found ${correlation}`);
}

/**
 * P(A x B <= q) for two normals: the integral over A of the density of A times P(B <= q / A), or P(B >= q / A) where A is
 * below zero, with B's mean and SD given A. Both sides of A = 0 are integrated apart.
 *
 * Source: Craig 1936, Ann Math Stat 7:1-15; Meeker and Escobar 1994, Commun Stat Simul Comput 23 (the same integral; from memory).
 *
 * @throws Error when an SD is not above zero or the correlation not inside -1..1
 * @example productLower(0, { a: 0, sdA: 1, b: 0, sdB: 1 }) // 0.5
 */
export function productLower(q: number, normals: TwoNormals): number {
  check(normals, 'productLower');
  const { a, sdA, b, sdB, correlation = 0 } = normals;
  const rest = sdB * Math.sqrt(1 - correlation * correlation);
  const zero = -a / sdA;
  const below = (z: number, side: 1 | -1): number => {
    // Zero has one quotient, also where A rounds to zero.
    const quotient = q === 0 ? 0 : q / (a + sdA * z);
    const at = (quotient - b - correlation * sdB * z) / rest;
    return normalDensity(z) * normalLower(side * at);
  };
  let total = 0;
  const from = Math.max(zero, -FAR);
  if (from < FAR) total += integrateInterval((t) => below(from + t, 1), FAR - from);
  const to = Math.min(zero, FAR);
  if (to > -FAR) total += integrateInterval((t) => below(to - t, -1), to + FAR);
  return Math.min(1, Math.max(0, total));
}

/**
 * The value that A x B does not exceed with the given probability, to 12 digits.
 *
 * @throws Error as `productLower`, and when the probability is not inside 0..1
 * @example productQuantile(0.975, { a: 0.339, sdA: 0.122, b: 0.451, sdB: 0.146 }) // 0.324
 */
export function productQuantile(probability: number, normals: TwoNormals): number {
  check(normals, 'productQuantile');
  if (!(probability > 0 && probability < 1))
    throw new Error(`productQuantile: the probability must lie in 0..1; found ${probability}`);
  const { a, sdA, b, sdB, correlation = 0 } = normals;
  const shared = correlation * sdA * sdB;
  const centre = a * b + shared;
  const sd = Math.sqrt(
    b * b * sdA * sdA + a * a * sdB * sdB + 2 * a * b * shared + sdA * sdA * sdB * sdB + shared * shared,
  );
  let [low, high] = [centre - sd, centre + sd];
  for (let step = sd; productLower(low, normals) > probability; step *= 2) low -= step;
  for (let step = sd; productLower(high, normals) < probability; step *= 2) high += step;
  const atEnds = [productLower(low, normals) - probability, productLower(high, normals) - probability];
  let [fLow, fHigh] = atEnds as [number, number];
  // Regula falsi with the Illinois correction, kept in its bracket.
  for (let k = 0; k < 200 && high - low > 1e-12 * Math.max(Math.abs(low), Math.abs(high), sd); k++) {
    const secant = (low * fHigh - high * fLow) / (fHigh - fLow);
    const inside = secant > low && secant < high && k % 8 !== 7;
    const middle = inside ? secant : (low + high) / 2;
    const value = productLower(middle, normals) - probability;
    if (value === 0) return middle;
    if (value < 0) {
      low = middle;
      fLow = value;
      if (inside) fHigh /= 2;
    } else {
      high = middle;
      fHigh = value;
      if (inside) fLow /= 2;
    }
  }
  return (low + high) / 2;
}
