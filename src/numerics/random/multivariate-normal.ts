import type { Stream } from './stream.ts';

/**
 * One draw from a multivariate normal: mean + L z, where L is the lower Cholesky factor of the covariance.
 *
 * @param stream where the randomness comes from; one normal per dimension is drawn
 * @param mean one value per dimension
 * @param factor L, row by row, n x n; what stands above the diagonal is not read
 * @throws RangeError when the factor is not n x n
 * @example multivariateNormal(createStream(1), [0, 0], [1, 0, 0.6, 0.8]).length // 2, with correlation 0.6
 */
export function multivariateNormal(
  stream: Stream,
  mean: ArrayLike<number>,
  factor: ArrayLike<number>,
): Float64Array {
  const n = mean.length;
  if (factor.length !== n * n)
    throw new RangeError(
      `multivariateNormal: a mean of ${n} needs a factor of ${n * n} numbers; found ${factor.length}.`,
    );
  const z = new Float64Array(n);
  for (let i = 0; i < n; i++) z[i] = stream.normal();
  const draw = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    let sum = mean[i]!;
    for (let j = 0; j <= i; j++) sum += factor[i * n + j]! * z[j]!;
    draw[i] = sum;
  }
  return draw;
}
