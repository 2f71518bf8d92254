import type { Vector } from './geometry/vector.ts';
import type { MarkerState } from './motion.ts';

/** Positions and velocities of the landmarks that a reading uses, in a fixed order. */
export interface Sample {
  readonly positions: readonly Vector[];
  readonly velocities: readonly Vector[];
}

export interface Reading {
  readonly value: number;
  readonly sd: number;
}

/** Steps of the five-point differences: large enough to lose no digits, small against an arm's length. */
const POSITION_STEP_M = 1e-4;
const VELOCITY_STEP_MPS = 1e-2;
const TIME_STEP_S = 1e-5;

/**
 * First-order uncertainty of a reading taken at an instant: var = sum of (dm/dp)^2 var p + 2 dm/dp dm/dv
 * cov(p, v) + (dm/dv)^2 var v over every coordinate of every landmark, plus (dm/dt)^2 times the variance of
 * the instant that the landmarks themselves do not explain.
 *
 * @param states the landmarks at the instant
 * @param measure the reading, from positions and velocities
 * @param shift how much later the instant falls when the landmarks move, s, as a function of the same sample
 *   (0 for the sample as it is); null when the instant does not depend on these landmarks. Its part in the
 *   uncertainty is then counted with its correlation to the reading.
 * @param otherTimeVariance s^2
 * @see Joint Committee for Guides in Metrology (2008) Guide to the expression of uncertainty in measurement, 5.1.2
 */
export function readAtInstant(
  states: readonly MarkerState[],
  measure: (sample: Sample) => number,
  shift: ((sample: Sample, accelerations: readonly Vector[]) => number) | null,
  otherTimeVariance: number,
): Reading {
  const accelerations = states.map((s) => s.acceleration);
  const base: Sample = {
    positions: states.map((s) => s.position),
    velocities: states.map((s) => s.velocity),
  };
  const later = (sample: Sample, tau: number): Sample => ({
    positions: sample.positions.map((p, i) => move(p, sample.velocities[i]!, accelerations[i]!, tau)),
    velocities: sample.velocities.map((v, i) => move(v, accelerations[i]!, [0, 0, 0], tau)),
  });
  const read = (sample: Sample): number =>
    measure(shift ? later(sample, shift(sample, accelerations)) : sample);
  // Most readings are of places alone; one look tells, and halves the work.
  const faster: Sample = {
    ...base,
    velocities: base.velocities.map(([x, y, z]) => [2 * x + 1, 2 * y + 1, 2 * z + 1]),
  };
  const usesVelocity = read(faster) !== read(base);
  let variance = 0;
  for (let i = 0; i < states.length; i++)
    for (let axis = 0; axis < 3; axis++) {
      const p = slope(read, base, 'positions', i, axis, POSITION_STEP_M);
      const v = usesVelocity ? slope(read, base, 'velocities', i, axis, VELOCITY_STEP_MPS) : 0;
      const { positionVariance, velocityVariance, covariance } = states[i]!;
      variance += p * p * positionVariance + 2 * p * v * covariance + v * v * velocityVariance;
    }
  const rate = fivePoint((by) => measure(later(base, by)), TIME_STEP_S);
  variance += rate * rate * otherTimeVariance;
  return { value: measure(base), sd: Math.sqrt(Math.max(0, variance)) };
}

function slope(
  read: (sample: Sample) => number,
  base: Sample,
  part: 'positions' | 'velocities',
  index: number,
  axis: number,
  step: number,
): number {
  const nudged = (by: number): Sample => ({
    ...base,
    [part]: base[part].map((vector, i) =>
      i === index ? (vector.map((c, k) => (k === axis ? c + by : c)) as unknown as Vector) : vector,
    ),
  });
  return fivePoint((by) => read(nudged(by)), step);
}

/** Slope at 0 by the five-point central difference. */
function fivePoint(f: (by: number) => number, step: number): number {
  const near = unwrapped(f(step) - f(-step));
  const far = unwrapped(f(2 * step) - f(-2 * step));
  return (8 * near - far) / (12 * step);
}

/** A small difference of two angles that lie on either side of 180 degrees is small. */
function unwrapped(difference: number): number {
  return difference - 360 * Math.round(difference / 360);
}

function move(p: Vector, v: Vector, a: Vector, tau: number): Vector {
  const half = (tau * tau) / 2;
  return [p[0] + v[0] * tau + a[0] * half, p[1] + v[1] * tau + a[1] * half, p[2] + v[2] * tau + a[2] * half];
}
