import { inverseOfPositiveDefinite } from '../linear/cholesky.ts';
import {
  centralDifferences,
  type Differences,
  differencesAlongAxes,
  slopeAlong,
} from './central-differences.ts';
import { minimiseInTrustRegion } from './trust-region.ts';

export interface MinimumByDifferences<T> {
  readonly at: Float64Array;
  /** Sixth-order derivatives at the minimum. */
  readonly differences: Differences<T>;
  readonly converged: boolean;
}

const COARSE = 0.004;
const STEP = 0.02;

/**
 * Minimises a smooth function of a few variables of order one that has no derivatives to offer: Newton steps in a trust
 * region with differences of second order, then Newton steps with the gradient to sixth order until they stop
 * moving. Converged when the Hessian is positive definite and what a further Newton step would change is below 1e-7 of
 * 1 + |variable| (1e-4 where it promises less than rounding).
 *
 * Example: for f(x) = cosh(x - 2) started at 0, `at` is 2 to nine digits.
 */
export function minimiseByDifferences<T extends { readonly value: number }>(
  f: (x: Float64Array) => T,
  start: Float64Array,
): MinimumByDifferences<T> {
  const n = start.length;
  const coarse = minimiseInTrustRegion((x) => centralDifferences(f, x, COARSE, 'second'), start, 100);
  let at = coarse.at;
  const inverse = inverseOfPositiveDefinite(coarse.hessian, n);
  if (inverse)
    for (let round = 0; round < 8; round++) {
      const gradient = differencesAlongAxes(f, at, STEP).map((results) =>
        slopeAlong(
          results.map(({ value }) => value),
          STEP,
        ),
      );
      const step = at.map((_, i) => -gradient.reduce((sum, g, j) => sum + inverse[i * n + j]! * g, 0));
      // Far from quadratic: what the trust region found stands.
      if (!step.every((change) => Math.abs(change) < 0.1)) break;
      at = at.map((value, i) => value + step[i]!);
      if (step.every((change) => Math.abs(change) < 1e-10)) break;
    }
  const differences = centralDifferences(f, at, STEP);
  const curvature = inverseOfPositiveDefinite(differences.hessian, n);
  if (!curvature) return { at, differences, converged: false };
  let promised = 0;
  let longest = 0;
  for (let i = 0; i < n; i++) {
    let change = 0;
    for (let j = 0; j < n; j++) change -= curvature[i * n + j]! * differences.gradient[j]!;
    promised -= 0.5 * change * differences.gradient[i]!;
    longest = Math.max(longest, Math.abs(change) / (1 + Math.abs(at[i]!)));
  }
  const small = promised < 1e-12 * (1 + Math.abs(differences.value));
  return { at, differences, converged: longest < 1e-7 || (small && longest < 1e-4) };
}
