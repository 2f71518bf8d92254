/** Degrees of freedom and tests of fixed effects; contrasts are in the coordinates of the fit. */
export interface Inference {
  /** Covariance of the fixed effects, p x p, in units of the residual variance. */
  readonly covariance: Float64Array;
  /** Degrees of freedom of one contrast (length p); null means normal. */
  degreesOfFreedom(contrast: Float64Array): number | null;
  /** Test that all rows (each length p) of contrasts are zero; `beta` in units of the residual SD. */
  test(contrasts: readonly Float64Array[], beta: Float64Array): JointTest;
  /** Why a contrast has no standard error, to be read after its name; null (or no such method) where it has one. */
  readonly missing?: (contrast: Float64Array) => string | null;
}

export interface JointTest {
  readonly numeratorDf: number;
  readonly denominatorDf: number | null;
  readonly f: number;
}

/** c' A d. */
export function bilinear(c: Float64Array, a: Float64Array, d: Float64Array): number {
  const p = c.length;
  let sum = 0;
  for (let i = 0; i < p; i++) {
    let row = 0;
    for (let j = 0; j < p; j++) row += a[i * p + j]! * d[j]!;
    sum += c[i]! * row;
  }
  return sum;
}

export function dot(c: Float64Array, d: Float64Array): number {
  let sum = 0;
  for (let i = 0; i < c.length; i++) sum += c[i]! * d[i]!;
  return sum;
}
