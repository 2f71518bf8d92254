/** A point or direction, [x, y, z]. */
export type Vector = readonly [number, number, number];

export function subtract(a: Vector, b: Vector): Vector {
  return [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
}

export function add(a: Vector, b: Vector): Vector {
  return [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
}

export function scale(a: Vector, factor: number): Vector {
  return [a[0] * factor, a[1] * factor, a[2] * factor];
}

/** The point halfway between two. */
export function midpoint(a: Vector, b: Vector): Vector {
  return [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2, (a[2] + b[2]) / 2];
}

export function dot(a: Vector, b: Vector): number {
  return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
}

export function cross(a: Vector, b: Vector): Vector {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}

/** Length. A plain root: Math.hypot guards against overflow, which no length in metres needs, at ten times the cost. */
export function norm(a: Vector): number {
  return Math.sqrt(dot(a, a));
}

/** The vector of length one along `a`; NaN for a vector of length zero. */
export function unit(a: Vector): Vector {
  return scale(a, 1 / norm(a));
}
