import { inverseOfPositiveDefinite } from '../linear/cholesky.ts';
import {
  centralDifferences,
  type Differences,
  differencesAlongAxes,
  slopeAlong,
} from './central-differences.ts';
import { minimiseInTrustRegion, type SecondOrder } from './trust-region.ts';

/** Where a function without derivatives is smallest, with what was found there. */
export interface MinimumByDifferences<T> {
  readonly at: Float64Array;
  /** Sixth-order derivatives at the minimum. */
  readonly differences: Differences<T>;
  readonly converged: boolean;
}

/** What a search with second-order differences may leave to be gained by steps with better ones. */
export const COARSE_ENOUGH = 1e-6;
/** Step of the second-order differences of a search, and of the sixth-order ones at its end. */
export const COARSE_STEP = 0.004;
/** Step of the sixth-order differences at the end of a search, in the scale of the variables. */
export const FINE_STEP = 0.02;

/**
 * Minimises a smooth function of a few variables of order one that has no derivatives to offer: Newton steps in a trust
 * region with differences of second order, then Newton steps with the gradient to sixth order until they stop
 * moving.
 *
 * @example minimiseByDifferences(([x]) => ({ value: Math.cosh(x! - 2) }), Float64Array.of(0)).at // [2]
 */
export function minimiseByDifferences<T extends { readonly value: number }>(
  f: (x: Float64Array) => T,
  start: Float64Array,
): MinimumByDifferences<T> {
  const coarse = minimiseInTrustRegion((x) => centralDifferences(f, x, COARSE_STEP, 'second'), start, 100);
  const at = polished((x) => slopes(differencesAlongAxes(f, x, FINE_STEP)), coarse);
  const differences = centralDifferences(f, at, FINE_STEP);
  return { at, differences, converged: isSettled(differences, at) };
}

const slopes = (along: readonly (readonly { readonly value: number }[])[]): Float64Array =>
  Float64Array.from(along, (results) =>
    slopeAlong(
      results.map(({ value }) => value),
      FINE_STEP,
    ),
  );

/**
 * Newton steps with a better gradient and the Hessian (n x n, row by row) of a search's end, at most eight and as long as
 * they stay below 0.1; the search's end itself where the Hessian is not positive definite.
 *
 * @example polished((x) => x.map((value) => Math.sinh(value - 2)), { at: Float64Array.of(1.95), hessian: Float64Array.of(1) }) // [2]
 */
export function polished(
  gradientAt: (x: Float64Array) => Float64Array,
  { at, hessian }: { readonly at: Float64Array; readonly hessian: Float64Array },
): Float64Array {
  const n = at.length;
  const inverse = inverseOfPositiveDefinite(hessian, n);
  let here = at;
  for (let round = 0; inverse && round < 8; round++) {
    const gradient = gradientAt(here);
    const step = here.map((_, i) => -gradient.reduce((sum, g, j) => sum + inverse[i * n + j]! * g, 0));
    // Far from quadratic: what the search found stands.
    if (!step.every((change) => Math.abs(change) < 0.1)) break;
    here = here.map((value, i) => value + step[i]!);
    if (step.every((change) => Math.abs(change) < 1e-10)) break;
  }
  return here;
}

/**
 * Whether a point is a minimum: the Hessian is positive definite and a further Newton step would change no variable by
 * more than 1e-7 of 1 + |variable| (1e-4 where it promises less than rounding).
 *
 * @example
 * const flat = { value: 0, gradient: Float64Array.of(0) };
 * isSettled({ ...flat, hessian: Float64Array.of(2) }, Float64Array.of(1)) // true
 * isSettled({ ...flat, hessian: Float64Array.of(-2) }, Float64Array.of(1)) // false: the top of a hill is flat too
 */
export function isSettled({ value, gradient, hessian }: SecondOrder, at: Float64Array): boolean {
  const n = at.length;
  const inverse = inverseOfPositiveDefinite(hessian, n);
  if (!inverse) return false;
  let promised = 0;
  let longest = 0;
  for (let i = 0; i < n; i++) {
    let change = 0;
    for (let j = 0; j < n; j++) change -= inverse[i * n + j]! * gradient[j]!;
    promised -= 0.5 * change * gradient[i]!;
    longest = Math.max(longest, Math.abs(change) / (1 + Math.abs(at[i]!)));
  }
  return longest < 1e-7 || (promised < 1e-12 * (1 + Math.abs(value)) && longest < 1e-4);
}
