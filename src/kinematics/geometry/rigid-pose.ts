import { symmetricEigen } from '../../numerics/index.ts';
import { type Matrix, rotate } from './frames.ts';
import { add, scale, subtract, type Vector } from './vector.ts';

/**
 * The turn and shift that carry a rigid body's points onto the measured ones: measured = rotation x point +
 * translation.
 */
export interface RigidPose {
  readonly rotation: Matrix;
  readonly translation: Vector;
  /** sqrt(sum of squared coordinate residuals / (3 n)), in the unit of the points. */
  readonly rms: number;
}

/**
 * The rotation R and translation L that bring points `from` closest to points `to`: least sum of |R a + L - b|^2, the
 * criterion of Soderkvist and Wedin. Solved by the largest eigenvector of Horn's 4 x 4 matrix, which gives a
 * rotation and never a reflection, whatever the points (a planar cluster seen from behind included).
 *
 * @throws RangeError with fewer than three points or lists of unequal length
 * @see Soderkvist I, Wedin P-A (1993) J Biomech 26:1473-1477; Horn BKP (1987) J Opt Soc Am A 4:629-642
 * @example
 * // A right angle about z, then 1, 2, 3
 * rigidPose([[0, 0, 0], [1, 0, 0], [0, 1, 0]], [[1, 2, 3], [1, 3, 3], [0, 2, 3]])
 * // { rotation: [[0, -1, 0], [1, 0, 0], [0, 0, 1]], translation: [1, 2, 3], rms: 0 }
 */
export function rigidPose(from: readonly Vector[], to: readonly Vector[]): RigidPose {
  const n = from.length;
  if (n < 3 || to.length !== n)
    throw new RangeError('rigidPose: give at least three points, and as many targets as points');
  const a0 = mean(from);
  const b0 = mean(to);
  const s = [
    [0, 0, 0],
    [0, 0, 0],
    [0, 0, 0],
  ];
  for (let i = 0; i < n; i++) {
    const a = subtract(from[i]!, a0);
    const b = subtract(to[i]!, b0);
    for (let j = 0; j < 3; j++) for (let k = 0; k < 3; k++) s[j]![k] = s[j]![k]! + a[j]! * b[k]!;
  }
  const [[xx, xy, xz], [yx, yy, yz], [zx, zy, zz]] = s as [number[], number[], number[]] as [
    [number, number, number],
    [number, number, number],
    [number, number, number],
  ];
  const horn = Float64Array.of(
    xx + yy + zz,
    yz - zy,
    zx - xz,
    xy - yx,
    yz - zy,
    xx - yy - zz,
    xy + yx,
    zx + xz,
    zx - xz,
    xy + yx,
    yy - xx - zz,
    yz + zy,
    xy - yx,
    zx + xz,
    yz + zy,
    zz - xx - yy,
  );
  const { vectors } = symmetricEigen(horn, 4);
  const [w, x, y, z] = [0, 1, 2, 3].map((row) => vectors[row * 4 + 3]!) as [number, number, number, number];
  const rotation: Matrix = [
    [w * w + x * x - y * y - z * z, 2 * (x * y - w * z), 2 * (x * z + w * y)],
    [2 * (x * y + w * z), w * w - x * x + y * y - z * z, 2 * (y * z - w * x)],
    [2 * (x * z - w * y), 2 * (y * z + w * x), w * w - x * x - y * y + z * z],
  ];
  const translation = subtract(b0, rotate(rotation, a0));
  let squares = 0;
  for (let i = 0; i < n; i++) {
    const r = subtract(add(rotate(rotation, from[i]!), translation), to[i]!);
    squares += r[0] * r[0] + r[1] * r[1] + r[2] * r[2];
  }
  return { rotation, translation, rms: Math.sqrt(squares / (3 * n)) };
}

function mean(points: readonly Vector[]): Vector {
  return scale(
    points.reduce((sum, p) => add(sum, p)),
    1 / points.length,
  );
}
