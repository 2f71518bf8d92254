import { localPolynomialWeights } from '../numerics/index.ts';
import { add, cross, dot, norm, scale, subtract, unit, type Vector } from './geometry/vector.ts';
import type { Track } from './trial.ts';

const DEGREE = 3;
const STEP = 0.25;

export interface TurningState {
  readonly position: Vector;
  readonly velocity: Vector;
  readonly acceleration: Vector;
  /** Angle from each frame's place to the reading, in the plane of turning, rad, and its rate there, rad/s. */
  readonly turned: readonly number[];
  readonly turnRate: number;
}

/**
 * Position, velocity and acceleration of a point that turns about another, read between frames: cubics are fitted to
 * the centre's coordinates and to the point's distance, its angle in the plane of its turning and its angle
 * out of that plane, each far smoother than its coordinates.
 *
 * @param frames where both are looked up; the reading may lie a little beyond them
 * @returns null where the centre is missing in one of the frames or the point does not turn
 */
export function turningState(
  centre: Track,
  point: Track,
  frames: readonly number[],
  at: number,
  rateHz: number,
): TurningState | null {
  const centres = frames.map((i): Vector => [centre.x[i]!, centre.y[i]!, centre.z[i]!]);
  if (centres.some((p) => Number.isNaN(p[0]))) return null;
  const arms = frames.map((i, k) => subtract([point.x[i]!, point.y[i]!, point.z[i]!], centres[k]!));
  const axis = arms.slice(1).reduce<Vector>((sum, arm, k) => add(sum, cross(arms[k]!, arm)), [0, 0, 0]);
  if (!(norm(axis) > 1e-9)) return null;
  const n = unit(axis);
  const last = arms[arms.length - 1]!;
  const e1 = unit(subtract(last, scale(n, dot(n, last))));
  const e2 = cross(n, e1);
  const lengths = arms.map(norm);
  const inPlane = unwrap(arms.map((arm) => Math.atan2(dot(arm, e2), dot(arm, e1))));
  const outOfPlane = arms.map((arm, k) => Math.asin(dot(arm, n) / lengths[k]!));
  const place = (when: number): Vector => {
    const { value } = localPolynomialWeights(frames, DEGREE, when);
    const read = (values: readonly number[]): number => values.reduce((sum, v, k) => sum + v * value[k]!, 0);
    const [length, angle, tilt] = [read(lengths), read(inPlane), read(outOfPlane)];
    const direction = add(
      scale(add(scale(e1, Math.cos(angle)), scale(e2, Math.sin(angle))), Math.cos(tilt)),
      scale(n, Math.sin(tilt)),
    );
    const origin: Vector = [
      read(centres.map((p) => p[0])),
      read(centres.map((p) => p[1])),
      read(centres.map((p) => p[2])),
    ];
    return add(origin, scale(direction, length));
  };
  // Five evenly spaced readings of a smooth curve give its derivatives to the fourth order in the step.
  const p = [-2, -1, 0, 1, 2].map((k) => place(at + k * STEP)) as [Vector, Vector, Vector, Vector, Vector];
  const mix = (weights: readonly number[], factor: number): Vector =>
    [0, 1, 2].map((k) => factor * p.reduce((sum, q, j) => sum + weights[j]! * q[k]!, 0)) as unknown as Vector;
  const h = STEP / rateHz;
  const atReading = localPolynomialWeights(frames, DEGREE, at);
  const sum = (weights: Float64Array): number => inPlane.reduce((total, v, k) => total + v * weights[k]!, 0);
  const angleAt = sum(atReading.value);
  return {
    position: p[2],
    velocity: mix([1, -8, 0, 8, -1], 1 / (12 * h)),
    acceleration: mix([-1, 16, -30, 16, -1], 1 / (12 * h * h)),
    turned: inPlane.map((angle) => angleAt - angle),
    turnRate: sum(atReading.slope) * rateHz,
  };
}

/** Angles without jumps of a full turn. */
function unwrap(angles: readonly number[]): number[] {
  const out: number[] = [];
  for (const angle of angles) {
    const before = out[out.length - 1];
    out.push(
      before === undefined ? angle : angle - 2 * Math.PI * Math.round((angle - before) / (2 * Math.PI)),
    );
  }
  return out;
}
