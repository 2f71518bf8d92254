import type { FittedPlane } from '../geometry/plane.ts';
import { dot, scale, subtract, type Vector } from '../geometry/vector.ts';

/** How uncertain a normal is: variances of its tilts along the two directions of the fit, and their covariance, rad^2. */
export interface Tilt {
  readonly first: number;
  readonly second: number;
  readonly both: number;
}

/** The points that a plane is fitted to. */
export interface Path {
  readonly points: readonly Vector[];
  /** Frame of each point. */
  readonly frames: readonly number[];
  /** Variance of each coordinate from noise, m^2. */
  readonly noise: readonly number[];
  /** From each point to where it would be if the club kept its length. */
  readonly back: readonly Vector[];
}

/** Tilt from the noise of the points and from a club that changes its length. */
export function tiltOfNoise(path: Path, fit: FittedPlane, weights: readonly number[]): Tilt {
  const whole = weights.reduce((sum, w) => sum + w, 0);
  const [first, second] = fit.spread;
  const [l1, l2] = [fit.meanSquares[0] - fit.meanSquares[2], fit.meanSquares[1] - fit.meanSquares[2]];
  const tilt = { first: 0, second: 0, both: 0 };
  const back = [0, 0];
  path.points.forEach((point, i) => {
    const r = subtract(point, fit.centre);
    const [a, b, out] = [dot(first, r), dot(second, r), dot(fit.normal, r)];
    const w = weights[i]! / whole;
    const noise = w * w * path.noise[i]!;
    tilt.first += (noise * (a * a + out * out)) / (l1 * l1);
    tilt.second += (noise * (b * b + out * out)) / (l2 * l2);
    tilt.both += (noise * a * b) / (l1 * l2);
    const outward = w * dot(fit.normal, path.back[i]!);
    back[0] = back[0]! + (outward * a) / l1;
    back[1] = back[1]! + (outward * b) / l2;
  });
  return {
    first: tilt.first + back[0]! ** 2,
    second: tilt.second + back[1]! ** 2,
    both: tilt.both + back[0]! * back[1]!,
  };
}

/** Tilt of the normal along the two directions of the plane when an end of the span is one standard deviation off. */
export function tiltOfEnd(
  fit: FittedPlane,
  fitted: (shift: { from: number; to: number }) => FittedPlane | null,
  moved: (by: number) => { from: number; to: number },
  sd: number,
): readonly [number, number] {
  const by = Math.min(sd, 0.5);
  if (by === 0) return [0, 0];
  const [later, earlier] = [fitted(moved(by)), fitted(moved(-by))];
  if (!later || !earlier) return [0, 0];
  const change = scale(subtract(later.normal, earlier.normal), sd / (2 * by));
  return [dot(change, fit.spread[0]), dot(change, fit.spread[1])];
}
