import { choleskyInPlace, solveLower, solveLowerTransposed } from '../linear/cholesky.ts';
import { symmetricEigen } from '../linear/symmetric-eigen.ts';

/** What the function to be minimised hands back at a point: its value, gradient and Hessian (row-major). */
export interface SecondOrder {
  readonly value: number;
  readonly gradient: Float64Array;
  readonly hessian: Float64Array;
}

/** Where a function is smallest, with value, gradient and Hessian there. */
export interface Minimum extends SecondOrder {
  readonly at: Float64Array;
  readonly evaluations: number;
  /**
   * True when the Hessian had no downhill bend and the last Newton step promised less than rounding error (or,
   * where rounding noise hid the last gains, less than 1e-9 of the value).
   */
  readonly converged: boolean;
}

/**
 * Minimises a smooth function of a few variables by Newton steps inside a trust region. Each step is the exact
 * minimum of the quadratic model in a ball, found from the eigen-decomposition of the Hessian, so saddle points
 * are left along their downhill bend and the end is polished quadratically.
 *
 * `evaluate` must return fresh arrays or arrays that the caller does not mind being read before the next call.
 * Variables should be of order one. A value that is not finite counts as a rejected step. Where evaluations are dear,
 * the search can be ended at the first point from which a whole step promises no more than `enough`.
 * Source: Nocedal and Wright, Numerical Optimization, 2nd ed., algorithm 4.1 and section 4.3.
 * Throws when the start itself has no finite value.
 *
 * @example
 * const f = ([x]: Float64Array) => ({
 *   value: (x! - 2) ** 2, gradient: Float64Array.of(2 * (x! - 2)), hessian: Float64Array.of(2),
 * });
 * minimiseInTrustRegion(f, Float64Array.of(0)).at // [2]
 */
export function minimiseInTrustRegion(
  evaluate: (x: Float64Array) => SecondOrder,
  start: Float64Array,
  maximumEvaluations = 200,
  enough = 0,
): Minimum {
  const n = start.length;
  let x = Float64Array.from(start);
  let next = new Float64Array(n);
  const first = evaluate(x);
  if (!Number.isFinite(first.value))
    throw new Error('minimiseInTrustRegion: the function must be finite at the start');
  const here = { value: 0, gradient: new Float64Array(n), hessian: new Float64Array(n * n) };
  const move = ({ value, gradient, hessian }: SecondOrder): void => {
    here.value = value;
    here.gradient.set(gradient);
    here.hessian.set(hessian);
  };
  move(first);
  let radius = 1;
  let evaluations = 1;
  const done = (converged: boolean): Minimum => ({
    value: here.value,
    gradient: here.gradient,
    hessian: here.hessian,
    at: x,
    evaluations,
    converged,
  });
  if (n === 0) return done(true);
  while (evaluations < maximumEvaluations) {
    const { step, promised, inside, bent } = stepInBall(here, n, radius);
    const noise = 1e-14 * (1 + Math.abs(here.value));
    if (enough > 0 && inside && !bent && promised <= enough) return done(true);
    const length = euclidean(step);
    const settled = inside && !bent && promised <= 0.1 * noise;
    if (settled && length <= 1e-10 * (1 + euclidean(x))) return done(true);
    for (let i = 0; i < n; i++) next[i] = x[i]! + step[i]!;
    const there = evaluate(next);
    evaluations++;
    const gained = here.value - there.value;
    const ratio = (gained + 10 * noise) / (promised + 10 * noise);
    const better =
      Number.isFinite(there.value) &&
      ratio > 0.05 &&
      (!settled || euclidean(there.gradient) <= euclidean(here.gradient));
    if (better) {
      move(there);
      [x, next] = [next, x];
    }
    if (settled) return done(true);
    if (ratio > 0.9 && !inside) radius = Math.min(2 * radius, 1e8);
    else if (!(ratio > 0.25)) radius = 0.4 * Math.min(length, radius);
    if (radius < 1e-14) break;
  }
  // Rounding noise in the function can hide the last gains: near enough is then judged by the promise alone.
  const last = stepInBall(here, n, Number.POSITIVE_INFINITY);
  return done(!last.bent && last.promised <= 1e-9 * (1 + Math.abs(here.value)));
}

function euclidean(x: Float64Array): number {
  let square = 0;
  for (let i = 0; i < x.length; i++) square += x[i]! * x[i]!;
  return Math.sqrt(square);
}

interface Step {
  readonly step: Float64Array;
  /** The fall the quadratic model promises. */
  readonly promised: number;
  readonly inside: boolean;
  /** The Hessian bends downhill somewhere by more than rounding. */
  readonly bent: boolean;
}

function stepInBall(point: SecondOrder, n: number, radius: number): Step {
  const newton = newtonStep(point, n, radius);
  if (newton) return newton;
  const { gradient, hessian } = point;
  const { values, vectors } = symmetricEigen(hessian, n);
  const largest = Math.max(Math.abs(values[0]!), Math.abs(values[n - 1]!), 1e-300);
  const along = new Float64Array(n);
  for (let k = 0; k < n; k++)
    for (let i = 0; i < n; i++) along[k] = along[k]! + vectors[i * n + k]! * gradient[i]!;
  const bent = values[0]! < -1e-9 * largest;
  const floor = 1e-13 * largest;
  const stepAt = (shift: number): Float64Array => {
    const s = new Float64Array(n);
    for (let k = 0; k < n; k++) {
      const curvature = values[k]! + shift;
      s[k] = Math.abs(curvature) <= floor && along[k] === 0 ? 0 : -along[k]! / Math.max(curvature, floor);
    }
    return s;
  };
  let s = stepAt(0);
  let inside = !bent && euclidean(s) <= radius;
  if (!inside) {
    const least = Math.max(0, -values[0]!);
    let low = least;
    let high = least + euclidean(gradient) / radius + floor;
    s = stepAt(high);
    for (let i = 0; i < 60 && high - low > 1e-3 * high; i++) {
      const middle = 0.5 * (low + high);
      const trial = stepAt(middle);
      if (euclidean(trial) > radius) low = middle;
      else {
        high = middle;
        s = trial;
      }
    }
    const length = euclidean(s);
    if (bent && length < 0.9 * radius) {
      // The hard case: the gradient says nothing about the downhill bend, so go along the bend to the edge.
      const extra = Math.sqrt(radius * radius - length * length);
      s[0] = s[0]! + (s[0]! < 0 ? -extra : extra);
    }
    inside = false;
  }
  let promised = 0;
  const step = new Float64Array(n);
  for (let k = 0; k < n; k++) {
    promised -= along[k]! * s[k]! + 0.5 * values[k]! * s[k]! * s[k]!;
    for (let i = 0; i < n; i++) step[i] = step[i]! + vectors[i * n + k]! * s[k]!;
  }
  return { step, promised, inside, bent };
}

/** The whole Newton step, where the Hessian is well positive definite and the step ends inside the ball. */
function newtonStep({ gradient, hessian }: SecondOrder, n: number, radius: number): Step | null {
  const factor = Float64Array.from(hessian);
  if (!choleskyInPlace(factor, n)) return null;
  for (let i = 0; i < n; i++) if (!(factor[i * n + i]! ** 2 > 1e-12 * hessian[i * n + i]!)) return null;
  const step = new Float64Array(n);
  for (let i = 0; i < n; i++) step[i] = -gradient[i]!;
  solveLower(factor, n, step);
  let promised = 0;
  for (let i = 0; i < n; i++) promised += 0.5 * step[i]! * step[i]!;
  solveLowerTransposed(factor, n, step);
  let square = 0;
  for (let i = 0; i < n; i++) square += step[i]! * step[i]!;
  return square <= radius * radius ? { step, promised, inside: true, bent: false } : null;
}
