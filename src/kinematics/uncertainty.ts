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
 * @param rate rate of change of the reading with the moment, per second; null takes it from the states
 * @see Joint Committee for Guides in Metrology (2008) Guide to the expression of uncertainty in measurement, 5.1.2
 */
export function readAtInstant(
  states: readonly MarkerState[],
  measure: (sample: Sample) => number,
  shift: ((sample: Sample, accelerations: readonly Vector[]) => number) | null,
  otherTimeVariance: number,
  rate: number | null = null,
): Reading {
  const accelerations = states.map((s) => s.acceleration);
  // Both samples are changed in place: a swing takes some ten thousand looks at them.
  const sample = copyOf(states);
  const moved = copyOf(states);
  const later = (tau: number): Sample => {
    for (let i = 0; i < states.length; i++) {
      const [p, v, a] = [sample.positions[i]!, sample.velocities[i]!, accelerations[i]!];
      for (let k = 0; k < 3; k++) {
        moved.positions[i]![k] = p[k]! + v[k]! * tau + (a[k]! * tau * tau) / 2;
        moved.velocities[i]![k] = v[k]! + a[k]! * tau;
      }
    }
    return moved;
  };
  const read = (): number => measure(shift ? later(shift(sample, accelerations)) : sample);
  const value = measure(sample);
  const usesVelocity = readsVelocity(read, sample);
  let variance = 0;
  for (let i = 0; i < states.length; i++)
    for (let axis = 0; axis < 3; axis++) {
      const p = slope(read, sample.positions[i]!, axis, POSITION_STEP_M);
      const v = usesVelocity ? slope(read, sample.velocities[i]!, axis, VELOCITY_STEP_MPS) : 0;
      const { positionVariance, velocityVariance, covariance } = states[i]!;
      variance += p * p * positionVariance + 2 * p * v * covariance + v * v * velocityVariance;
    }
  if (otherTimeVariance !== 0) {
    const change = rate ?? fivePoint((by) => measure(later(by)), TIME_STEP_S);
    variance += change * change * otherTimeVariance;
  }
  return { value, sd: Math.sqrt(Math.max(0, variance)) };
}

interface Scratch {
  readonly positions: number[][] & Sample['positions'];
  readonly velocities: number[][] & Sample['velocities'];
}

function copyOf(states: readonly MarkerState[]): Scratch {
  const copies = (part: 'position' | 'velocity') => states.map((s) => [...s[part]]);
  return { positions: copies('position'), velocities: copies('velocity') } as Scratch;
}

/** Most readings are of places alone; one look tells, and halves the work. */
function readsVelocity(read: () => number, { velocities }: Scratch): boolean {
  const before = read();
  const kept = velocities.map((v) => [...v]);
  for (const v of velocities) for (let k = 0; k < 3; k++) v[k] = 2 * v[k]! + 1;
  const uses = read() !== before;
  velocities.forEach((v, i) => {
    for (let k = 0; k < 3; k++) v[k] = kept[i]![k]!;
  });
  return uses;
}

/** Slope of a reading along one coordinate, which is put back. */
function slope(read: () => number, vector: number[], axis: number, step: number): number {
  const at = vector[axis]!;
  const result = fivePoint((by) => {
    vector[axis] = at + by;
    return read();
  }, step);
  vector[axis] = at;
  return result;
}

/** Slope at 0 by the five-point central difference. */
function fivePoint(f: (by: number) => number, step: number): number {
  const near = angleApart(f(step), f(-step));
  const far = angleApart(f(2 * step), f(-2 * step));
  return (8 * near - far) / (12 * step);
}

/** Difference of two readings: of two angles that lie on either side of 180 degrees it is small. */
export function angleApart(a: number, b: number): number {
  return a - b - 360 * Math.round((a - b) / 360);
}
