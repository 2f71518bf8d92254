import { cross, dot, subtract, unit, type Vector } from './vector.ts';

/** A 3 x 3 matrix by rows. */
export type Matrix = readonly [Vector, Vector, Vector];

/** Sequences of three different axes. */
export type CardanSequence = 'XYZ' | 'XZY' | 'YXZ' | 'YZX' | 'ZXY' | 'ZYX';
/** Sequences that end with the axis they began with. */
export type EulerSequence = 'XYX' | 'XZX' | 'YXY' | 'YZY' | 'ZXZ' | 'ZYZ';

/** A middle turn nearer than this to where first and third axis fall together is warned of, deg. */
export const SINGULAR_WITHIN_DEG = 10;
const DEG = 180 / Math.PI;

/**
 * The matrix whose columns are the three axes: it takes coordinates in the frame to the lab.
 * @example fromAxes([1, 2, 3], [4, 5, 6], [7, 8, 9]) // [[1, 4, 7], [2, 5, 8], [3, 6, 9]]
 */
export function fromAxes(x: Vector, y: Vector, z: Vector): Matrix {
  return [
    [x[0], y[0], z[0]],
    [x[1], y[1], z[1]],
    [x[2], y[2], z[2]],
  ];
}

/**
 * The transpose of a 3 x 3 matrix, which is the inverse of a rotation.
 * @example transpose([[1, 2, 3], [4, 5, 6], [7, 8, 9]]) // [[1, 4, 7], [2, 5, 8], [3, 6, 9]]
 */
export function transpose([a, b, c]: Matrix): Matrix {
  return fromAxes(a, b, c);
}

/**
 * The product a b of two 3 x 3 matrices: b is applied first.
 * @example multiply([[0, -1, 0], [1, 0, 0], [0, 0, 1]], [[0, -1, 0], [1, 0, 0], [0, 0, 1]]) // [[-1, 0, 0], [0, -1, 0], [0, 0, 1]]
 */
export function multiply(a: Matrix, b: Matrix): Matrix {
  const columns = transpose(b);
  return a.map((row) => columns.map((column) => dot(row, column))) as unknown as Matrix;
}

/**
 * The matrix times a point or direction.
 * @example rotate([[0, -1, 0], [1, 0, 0], [0, 0, 1]], [1, 0, 0]) // [0, 1, 0]: a right angle about z
 */
export function rotate(m: Matrix, v: Vector): Vector {
  return [dot(m[0], v), dot(m[1], v), dot(m[2], v)];
}

/**
 * A segment's frame from its long axis and a second direction in its plane: y along `long`, x = y x `across`,
 * z = x x y, all of length one. `across` points to the segment's right for a right-handed frame with x forward.
 *
 * @example segmentFrame([0, 1, 0], [0, 0, 1]) // [[1, 0, 0], [0, 1, 0], [0, 0, 1]]
 */
export function segmentFrame(long: Vector, across: Vector): Matrix {
  const y = unit(long);
  const x = unit(cross(y, across));
  return fromAxes(x, y, cross(x, y));
}

/**
 * The turn of a distal frame as seen from a proximal one: proximal transposed times distal.
 *
 * @example
 * const [proximal, distal] = [fromCardan([30, 0, 0], 'ZXY'), fromCardan([90, 0, 0], 'ZXY')];
 * cardanAngles(relativeTurn(proximal, distal), 'ZXY').angles // [60, 0, 0]
 */
export function relativeTurn(proximal: Matrix, distal: Matrix): Matrix {
  return multiply(transpose(proximal), distal);
}

/**
 * Coordinates of a lab point in a frame with the given origin.
 * @example inFrame([[1, 0, 0], [0, 1, 0], [0, 0, 1]], [1, 1, 1], [1, 2, 3]) // [0, 1, 2]
 */
export function inFrame(frame: Matrix, origin: Vector, point: Vector): Vector {
  return rotate(transpose(frame), subtract(point, origin));
}

/**
 * Cardan angles of a rotation, degrees: R = R_i(first) R_j(second) R_k(third), each turn about an axis already turned
 * by those before it. With s = 1 for a cyclic order of axes and -1 for the others, second = atan2(s R_ik,
 * hypot(R_ii, R_ij)), which keeps its digits near 90 where an arc sine loses half of them, first = atan2(-s R_jk, R_kk),
 * third = atan2(-s R_ij, R_ii). Near a second angle of 90 or -90 degrees the first and third turn about one axis and only
 * their sum or difference is known: `singular` says so within ten degrees of it.
 *
 * @see Grood ES, Suntay WJ (1983) J Biomech Eng 105:136-144; Wu G et al. (2005) J Biomech 38:981-992
 * @example cardanAngles([[0, -1, 0], [1, 0, 0], [0, 0, 1]], 'ZXY').angles // [90, 0, 0]
 */
export function cardanAngles(
  r: Matrix,
  sequence: CardanSequence,
): { readonly angles: Vector; readonly singular: boolean } {
  const [i, j, k] = [...sequence].map((axis) => 'XYZ'.indexOf(axis)) as [0 | 1 | 2, 0 | 1 | 2, 0 | 1 | 2];
  const s = (j - i + 3) % 3 === 1 ? 1 : -1;
  const second = Math.atan2(s * r[i][k], Math.hypot(r[i][i], r[i][j]));
  const angles: Vector = [
    Math.atan2(-s * r[j][k], r[k][k]) * DEG,
    second * DEG,
    Math.atan2(-s * r[i][j], r[i][i]) * DEG,
  ];
  return { angles, singular: 90 - Math.abs(angles[1]) < SINGULAR_WITHIN_DEG };
}

/**
 * Axis `n` of a frame, in the lab.
 * @example axisOf([[1, 2, 3], [4, 5, 6], [7, 8, 9]], 0) // [1, 4, 7]
 */
export function axisOf(frame: Matrix, n: 0 | 1 | 2): Vector {
  return [frame[0][n], frame[1][n], frame[2][n]];
}

/**
 * The rotation with the given turns, degrees, in any of the twelve sequences, each about an axis already turned by those
 * before it: the other way round from `turnAngles`.
 *
 * @example fromCardan([90, 90, 0], 'ZXY') // [[0, 0, 1], [1, 0, 0], [0, 1, 0]]: Rz(90) Rx(90)
 */
export function fromCardan(angles: Vector, sequence: CardanSequence | EulerSequence): Matrix {
  return [...sequence]
    .map((axis, n) => turnAbout(axis as 'X' | 'Y' | 'Z', angles[n as 0 | 1 | 2]))
    .reduce((product, turn) => multiply(product, turn));
}

function turnAbout(axis: 'X' | 'Y' | 'Z', degrees: number): Matrix {
  const [c, s] = [Math.cos(degrees / DEG), Math.sin(degrees / DEG)];
  if (axis === 'X')
    return [
      [1, 0, 0],
      [0, c, -s],
      [0, s, c],
    ];
  if (axis === 'Y')
    return [
      [c, 0, s],
      [0, 1, 0],
      [-s, 0, c],
    ];
  return [
    [c, -s, 0],
    [s, c, 0],
    [0, 0, 1],
  ];
}
