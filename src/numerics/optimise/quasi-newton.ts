/** What the function to be minimised hands back at a point. */
export interface FirstOrder {
  readonly value: number;
  readonly gradient: Float64Array;
}

/** Where a function is smallest, with its value and gradient there. */
export interface QuasiNewtonMinimum extends FirstOrder {
  readonly at: Float64Array;
  readonly evaluations: number;
  /** True when the last step promised less than the tolerance, or than rounding error. */
  readonly converged: boolean;
}

/** How a quasi-Newton search begins and when it ends. */
export interface QuasiNewtonOptions {
  /** n x n, row-major, positive definite: an estimate of the inverse Hessian at the start. */
  readonly inverseHessian: Float64Array;
  /** The search ends when half of g' H^-1 g, the fall still promised, is below this; default 1e-12. */
  readonly tolerance?: number;
  /** No step is longer than this; default 2. */
  readonly longestStep?: number;
  readonly maximumEvaluations?: number;
}

/**
 * Minimises a smooth function by the BFGS update of an inverse Hessian. A step is shortened until the value falls
 * enough, and an update that would lose positive definiteness is left out. Variables should be of order one; a
 * value that is not finite counts as a step too long.
 * Source: Nocedal and Wright, Numerical Optimization, 2nd ed., algorithms 3.1 and 6.1.
 * Throws when the start itself has no finite value.
 *
 * @example
 * const f = ([x]: Float64Array) => ({ value: (x! - 2) ** 2, gradient: Float64Array.of(2 * (x! - 2)) });
 * minimiseQuasiNewton(f, Float64Array.of(0), { inverseHessian: Float64Array.of(0.5) }).at // [2]
 */
export function minimiseQuasiNewton(
  evaluate: (x: Float64Array) => FirstOrder,
  start: Float64Array,
  options: QuasiNewtonOptions,
): QuasiNewtonMinimum {
  const n = start.length;
  const { tolerance = 1e-12, longestStep = 2, maximumEvaluations = 300 } = options;
  const inverse = Float64Array.from(options.inverseHessian);
  let x: Float64Array = Float64Array.from(start);
  let here = evaluate(x);
  if (!Number.isFinite(here.value))
    throw new Error('minimiseQuasiNewton: the function must be finite at the start');
  let evaluations = 1;
  const step = new Float64Array(n);
  const done = (converged: boolean): QuasiNewtonMinimum => ({ ...here, at: x, evaluations, converged });
  while (evaluations < maximumEvaluations) {
    let slope = 0;
    let square = 0;
    for (let i = 0; i < n; i++) {
      let sum = 0;
      for (let j = 0; j < n; j++) sum -= inverse[i * n + j]! * here.gradient[j]!;
      step[i] = sum;
      slope += sum * here.gradient[i]!;
      square += sum * sum;
    }
    const noise = 1e-15 * (1 + Math.abs(here.value));
    if (-0.5 * slope <= Math.max(tolerance, 0.01 * noise)) return done(true);
    let share = Math.min(1, longestStep / Math.sqrt(square));
    let next: Float64Array;
    let there: FirstOrder;
    for (;;) {
      next = x.map((value, i) => value + share * step[i]!);
      there = evaluate(next);
      evaluations++;
      if (there.value <= here.value + 1e-4 * share * slope + 10 * noise) break;
      if (evaluations >= maximumEvaluations || share < 1e-12) return done(-0.5 * slope <= 1e3 * noise);
      // The minimum of the parabola through both values and the first slope, kept within bounds.
      const rise = there.value - here.value - share * slope;
      const best = Number.isFinite(rise) ? (-0.5 * slope * share * share) / rise : 0;
      share = Math.min(0.5 * share, Math.max(0.1 * share, best));
    }
    updateInverse(inverse, n, share, step, here.gradient, there.gradient);
    x = next;
    here = there;
  }
  return done(false);
}

/** H <- (I - r s y') H (I - r y s') + r s s', with s the step, y the change of the gradient and r = 1 / y's. */
function updateInverse(
  inverse: Float64Array,
  n: number,
  share: number,
  step: Float64Array,
  before: Float64Array,
  after: Float64Array,
): void {
  let ys = 0;
  let ss = 0;
  let yy = 0;
  const y = new Float64Array(n);
  for (let i = 0; i < n; i++) {
    y[i] = after[i]! - before[i]!;
    const s = share * step[i]!;
    ys += y[i]! * s;
    ss += s * s;
    yy += y[i]! * y[i]!;
  }
  if (!(ys > 1e-10 * Math.sqrt(ss * yy))) return;
  const hy = new Float64Array(n);
  let yhy = 0;
  for (let i = 0; i < n; i++) {
    let sum = 0;
    for (let j = 0; j < n; j++) sum += inverse[i * n + j]! * y[j]!;
    hy[i] = sum;
    yhy += sum * y[i]!;
  }
  const own = (1 + yhy / ys) / ys;
  for (let i = 0; i < n; i++) {
    const si = share * step[i]!;
    for (let j = 0; j < n; j++) {
      const sj = share * step[j]!;
      inverse[i * n + j] = inverse[i * n + j]! + own * si * sj - (hy[i]! * sj + si * hy[j]!) / ys;
    }
  }
}
