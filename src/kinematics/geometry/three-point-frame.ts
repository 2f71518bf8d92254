import { fromAxes, type Matrix } from './frames.ts';
import { cross, dot, scale, subtract, unit, type Vector } from './vector.ts';

/** A frame and where it stands: columns of `axes` are its axes in the lab. */
export interface PlacedFrame {
  readonly axes: Matrix;
  readonly origin: Vector;
}

/**
 * The frame of any three markers of a segment (a technical frame, without anatomy): first axis along b - a, second
 * across the plane of the three, (b - a) x (c - a), third their cross product; origin at the mean of the three.
 * NaN where the three lie on a line.
 *
 * @see tests/reference/angles, bmc_refframe and bmc_basis_m100
 * @example threePointFrame([0, 0, 0], [3, 0, 0], [0, 3, 0]).origin // [1, 1, 0]
 */
export function threePointFrame(a: Vector, b: Vector, c: Vector): PlacedFrame {
  const first = unit(subtract(b, a));
  const second = unit(cross(first, subtract(c, a)));
  return {
    axes: fromAxes(first, second, cross(first, second)),
    origin: [(a[0] + b[0] + c[0]) / 3, (a[1] + b[1] + c[1]) / 3, (a[2] + b[2] + c[2]) / 3],
  };
}

/**
 * Three directions made square to each other, in the order given (Gram-Schmidt): the first keeps its direction, the
 * second its plane with the first. Left-handed where the three are. NaN where they lie in one plane.
 *
 * @see Golub GH, Van Loan CF (2013) Matrix Computations, 4th ed., section 5.2
 * @example squareAxes([2, 0, 0], [1, 1, 0], [1, 1, 1]) // [[1, 0, 0], [0, 1, 0], [0, 0, 1]]
 */
export function squareAxes(a: Vector, b: Vector, c: Vector): Matrix {
  const without = (v: Vector, axis: Vector): Vector => subtract(v, scale(axis, dot(v, axis)));
  const first = unit(a);
  const second = unit(without(b, first));
  return fromAxes(first, second, unit(without(without(c, first), second)));
}
