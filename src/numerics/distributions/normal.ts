import erfc from '@stdlib/math-base-special-erfc';
import { requireProbability } from './check-arguments.ts';

const LOG_SQRT_TWO_PI = 0.5 * Math.log(2 * Math.PI);

/**
 * P(Z <= z) for the standard normal. NaN in, NaN out.
 *
 * @example normalLower(-1.959963984540054) // 0.025
 */
export function normalLower(z: number): number {
  return 0.5 * erfc(-z / Math.SQRT2);
}

/**
 * P(Z > z) for the standard normal, computed directly, so that it keeps its digits far out.
 *
 * @example normalUpper(10) // 7.61985302416e-24
 */
export function normalUpper(z: number): number {
  return 0.5 * erfc(z / Math.SQRT2);
}

/**
 * Density of the standard normal at z.
 * @example normalDensity(0) // 0.3989422804014327, 1 / sqrt(2 pi)
 */
export function normalDensity(z: number): number {
  return Math.exp(-0.5 * z * z - LOG_SQRT_TWO_PI);
}

// Coefficients of Wichura's PPND16, highest power first, as the nearest doubles.
const CENTRE_TOP = [
  2509.0809287301227, 33430.57558358813, 67265.7709270087, 45921.95393154987, 13731.69376550946,
  1971.5909503065513, 133.14166789178438, 3.3871328727963665,
];
const CENTRE_BOTTOM = [
  5226.495278852854, 28729.085735721943, 39307.89580009271, 21213.794301586597, 5394.196021424751,
  687.1870074920579, 42.31333070160091, 1,
];
const NEAR_TOP = [
  0.0007745450142783414, 0.022723844989269184, 0.2417807251774506, 1.2704582524523684, 3.6478483247632045,
  5.769497221460691, 4.630337846156546, 1.4234371107496835,
];
const NEAR_BOTTOM = [
  1.0507500716444169e-9, 0.0005475938084995345, 0.015198666563616457, 0.14810397642748008, 0.6897673349851,
  1.6763848301838038, 2.053191626637759, 1,
];
const FAR_TOP = [
  2.0103343992922881e-7, 2.7115555687434876e-5, 0.0012426609473880784, 0.026532189526576124,
  0.29656057182850487, 1.7848265399172913, 5.463784911164114, 6.657904643501103,
];
const FAR_BOTTOM = [
  2.0442631033899397e-15, 1.421511758316446e-7, 1.8463183175100548e-5, 0.0007868691311456133,
  0.014875361290850615, 0.1369298809227358, 0.599832206555888, 1,
];

function ratio(top: readonly number[], bottom: readonly number[], x: number): number {
  let above = 0;
  let below = 0;
  for (let i = 0; i < top.length; i++) {
    above = above * x + top[i]!;
    below = below * x + bottom[i]!;
  }
  return above / below;
}

/**
 * The z below which a share p of the standard normal lies: a rational approximation good to about 16 digits.
 * p = 0 gives -Infinity and p = 1 Infinity. For a small upper tail ask `normalUpperQuantile`.
 *
 * @throws RangeError when p is outside [0, 1]
 * @see Wichura MJ. Algorithm AS 241: the percentage points of the normal distribution. Appl Stat 1988;37:477-484.
 * @example normalQuantile(0.975) // 1.959963984540054
 */
export function normalQuantile(p: number): number {
  requireProbability('normalQuantile', p);
  const q = p - 0.5;
  if (Math.abs(q) <= 0.425) return q * ratio(CENTRE_TOP, CENTRE_BOTTOM, 0.180625 - q * q);
  const tail = Math.min(p, 1 - p);
  if (tail === 0) return q < 0 ? -Infinity : Infinity;
  const r = Math.sqrt(-Math.log(tail));
  const z = r <= 5 ? ratio(NEAR_TOP, NEAR_BOTTOM, r - 1.6) : ratio(FAR_TOP, FAR_BOTTOM, r - 5);
  return q < 0 ? -z : z;
}

/**
 * The z above which a share p of the standard normal lies.
 *
 * @throws RangeError when p is outside [0, 1]
 * @example normalUpperQuantile(0.025) // 1.959963984540054
 */
export function normalUpperQuantile(p: number): number {
  requireProbability('normalUpperQuantile', p);
  return -normalQuantile(p) + 0;
}
