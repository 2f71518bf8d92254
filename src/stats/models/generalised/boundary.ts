import { semidefiniteFactor, snapToBoundary } from '../linear/boundary.ts';
import { type CovarianceShape, freePositions } from '../linear/covariance-shape.ts';
import type { Approximation } from './approximation.ts';

/** Directions whose SD is below this are tried at exactly zero. */
const NEARLY_ZERO_SD = 1e-4;

/** Directions of next to no variance set to none. */
export function snapped(shape: CovarianceShape, at: Float64Array, before: number) {
  // snapToBoundary calls an SD below 1e-6 zero.
  const scale = 1e-6 / NEARLY_ZERO_SD;
  const { theta, free, ranks } = snapToBoundary(
    shape,
    at.slice(before).map((value) => value * scale),
  );
  const out = Float64Array.from(at);
  for (let i = 0; i < theta.length; i++) out[before + i] = theta[i]! / scale;
  return {
    at: out,
    free: [...Array.from({ length: before }, (_, i) => i), ...free.map((index) => before + index)],
    ranks,
  };
}

/**
 * Derivatives of twice the value by the covariance elements, taken a hair inside a singular covariance (where the
 * derivatives by the factor, G = 2 S Lambda, still determine those by the covariance, S).
 */
export function slopeInside(
  target: Approximation,
  shape: CovarianceShape,
  at: Float64Array,
  theta: Float64Array,
  before: number,
): Float64Array {
  const hair = 1e-6;
  const inside = Float64Array.from(at);
  const factors = shape.terms.map((term, t) => {
    const q = term.effects;
    const covariance = shape.covariance(theta, t);
    for (let a = 0; a < q; a++) covariance[a * q + a] = covariance[a * q + a]! + hair;
    const { factor } = semidefiniteFactor(covariance, q, q);
    freePositions(term).forEach(([a, c], e) => {
      inside[before + shape.starts[t]! + e] = factor[a * q + c]!;
    });
    return factor;
  });
  const { gradient } = target.evaluate(inside);
  const out = new Float64Array(theta.length);
  shape.terms.forEach((term, t) => {
    const q = term.effects;
    const factor = factors[t]!;
    const positions = freePositions(term);
    // Lower triangle of 2 S Lambda = G, column by column from the last, whose Lambda has one entry.
    const slope = new Float64Array(q * q);
    const byFactor = new Float64Array(q * q);
    positions.forEach(([a, c], e) => {
      byFactor[a * q + c] = gradient[before + shape.starts[t]! + e]!;
    });
    for (let c = q - 1; c >= 0; c--)
      for (let a = q - 1; a >= c; a--) {
        if (term.kind === 'diagonal' && a !== c) continue;
        let sum = 0.5 * byFactor[a * q + c]!;
        for (let k = c + 1; k < q; k++) sum -= slope[a * q + k]! * factor[k * q + c]!;
        slope[a * q + c] = sum / factor[c * q + c]!;
        slope[c * q + a] = slope[a * q + c]!;
      }
    positions.forEach(([a, c], e) => {
      out[shape.starts[t]! + e] = 2 * slope[a * q + c]! * (a === c ? 1 : 2);
    });
  });
  return out;
}
