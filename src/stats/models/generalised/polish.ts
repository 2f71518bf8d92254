import { inverseOfPositiveDefinite, minimiseInTrustRegion, symmetricEigen } from '../../../numerics/index.ts';
import type { Approximation } from './approximation.ts';
import { secondDerivatives } from './hessian-by-differences.ts';
import type { Found, GeneralisedOptimum } from './optimum.ts';

/** A covariance parameter beyond this is taken to run to infinity. */
export const FAR = 300;
/** A curvature below this, every parameter brought to its own unit, is what differences leave of none. */
const FLAT = 1e-6;

/**
 * The end of a search: a Newton step with the full Hessian, after a trust-region search where that is not yet the Hessian
 * of a minimum. The covariance is null where the likelihood is flat in some direction.
 */
export function polish(
  target: Approximation,
  { at, free, ranks }: Found,
  before: number,
): GeneralisedOptimum {
  const k = free.length;
  const full = Float64Array.from(at);
  const place = (x: Float64Array): void => {
    free.forEach((index, i) => {
      full[index] = x[i]!;
    });
  };
  const here = () => {
    const { value, gradient } = target.evaluate(full);
    return { value, gradient: Float64Array.from(free, (index) => gradient[index]!) };
  };
  let derived = secondDerivatives(target, full, free);
  if (leastCurvature(derived.hessian, k) < -FLAT && full.every((value) => Math.abs(value) < FAR)) {
    const found = minimiseInTrustRegion(
      (x) => {
        place(x);
        return secondDerivatives(target, full, free);
      },
      Float64Array.from(free, (index) => full[index]!),
      60,
    );
    place(found.at);
    derived = secondDerivatives(target, full, free);
  }
  const covariance =
    leastCurvature(derived.hessian, k) > FLAT ? inverseOfPositiveDefinite(derived.hessian, k) : null;
  let { value, gradient } = derived;
  let promised = covariance ? quadraticForm(covariance, gradient) : Number.POSITIVE_INFINITY;
  if (covariance && promised < 1e-2) {
    const reached = Float64Array.from(free, (index) => full[index]!);
    const step = new Float64Array(k);
    for (let i = 0; i < k; i++)
      for (let j = 0; j < k; j++) step[i] = step[i]! - covariance[i * k + j]! * gradient[j]!;
    place(reached.map((x, i) => x + step[i]!));
    const there = here();
    const left = quadraticForm(covariance, there.gradient);
    if (left <= promised) {
      ({ value, gradient } = there);
      promised = left;
    } else place(reached);
  }
  // The differences left the approximation beside the point; the caller reads modes and factor from it.
  target.evaluate(full);
  const runaway = full.some((x, i) => i >= before && Math.abs(x) >= FAR);
  return {
    at: full,
    value,
    free,
    ranks,
    covariance,
    effectsBy: derived.effectsBy,
    converged: promised < 1e-8 && !runaway,
    gradientNorm: 2 * gradient.reduce((largest, g) => Math.max(largest, Math.abs(g)), 0),
  };
}

function quadraticForm(a: Float64Array, v: Float64Array): number {
  const n = v.length;
  let sum = 0;
  for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) sum += v[i]! * a[i * n + j]! * v[j]!;
  return sum;
}

/** The least eigenvalue of the Hessian scaled to a unit diagonal. */
function leastCurvature(hessian: Float64Array, n: number): number {
  if (!hessian.every(Number.isFinite)) return 0;
  const scaled = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++) {
      const scale = Math.sqrt(Math.abs(hessian[i * n + i]! * hessian[j * n + j]!));
      scaled[i * n + j] = scale > 0 ? hessian[i * n + j]! / scale : 0;
    }
  return n === 0 ? 1 : symmetricEigen(scaled, n).values[0]!;
}
