/**
 * A brute-force oracle: the textbook formulas of the linear mixed model written with whole n x n matrices
 * and nothing of the engine, to check the engine against.
 * Formulas: Harville (1977), JASA 72, 320-338; Kenward and Roger (1997), Biometrics 53, 983-997; Henderson (1975),
 * Biometrics 31, 423-447.
 */

export type Matrix = number[][];

export const zeros = (n: number, m: number): Matrix => Array.from({ length: n }, () => new Array(m).fill(0));
export const transpose = (a: Matrix): Matrix => a[0]!.map((_, j) => a.map((row) => row[j]!));
export function times(a: Matrix, b: Matrix): Matrix {
  const out = zeros(a.length, b[0]!.length);
  for (let i = 0; i < a.length; i++)
    for (let k = 0; k < b.length; k++) {
      const x = a[i]![k]!;
      if (x !== 0) for (let j = 0; j < b[0]!.length; j++) out[i]![j]! += x * b[k]![j]!;
    }
  return out;
}
export const plus = (a: Matrix, b: Matrix, factor = 1): Matrix =>
  a.map((row, i) => row.map((x, j) => x + factor * b[i]![j]!));
export const traceOf = (a: Matrix): number => a.reduce((sum, row, i) => sum + row[i]!, 0);

/** Gauss-Jordan with partial pivoting: the inverse and log |det|. */
export function invert(a: Matrix): { inverse: Matrix; logDeterminant: number } {
  const n = a.length;
  const work = a.map((row, i) => [...row, ...row.map((_, j) => (i === j ? 1 : 0))]);
  let logDeterminant = 0;
  for (let c = 0; c < n; c++) {
    let pivot = c;
    for (let r = c + 1; r < n; r++) if (Math.abs(work[r]![c]!) > Math.abs(work[pivot]![c]!)) pivot = r;
    [work[c], work[pivot]] = [work[pivot]!, work[c]!];
    const p = work[c]![c]!;
    logDeterminant += Math.log(Math.abs(p));
    for (let j = 0; j < 2 * n; j++) work[c]![j]! /= p;
    for (let r = 0; r < n; r++) {
      const f = work[r]![c]!;
      if (r === c || f === 0) continue;
      for (let j = 0; j < 2 * n; j++) work[r]![j]! -= f * work[c]![j]!;
    }
  }
  return { inverse: work.map((row) => row.slice(n)), logDeterminant };
}

/** A random term: for each effect its n x levels design. */
export interface DenseTerm {
  readonly designs: readonly Matrix[];
}

/** Sum over effect pairs of Sigma_ab Z_a Z_b'. */
export function covarianceOf(
  terms: readonly DenseTerm[],
  sigmas: readonly Matrix[],
  residual: number,
): Matrix {
  const n = terms[0]!.designs[0]!.length;
  const v = zeros(n, n);
  for (let i = 0; i < n; i++) v[i]![i] = residual;
  terms.forEach(({ designs }, t) => {
    designs.forEach((za, a) => {
      designs.forEach((zb, b) => {
        const s = sigmas[t]![a]![b]!;
        if (s === 0) return;
        for (let i = 0; i < n; i++)
          for (let j = 0; j < n; j++) {
            let sum = 0;
            for (let l = 0; l < za[0]!.length; l++) sum += za[i]![l]! * zb[j]![l]!;
            v[i]![j]! += s * sum;
          }
      });
    });
  });
  return v;
}

/** Minus twice the log likelihood, with beta at its best for this V (not profiled over the scale). */
export function denseDeviance(x: Matrix, y: number[], v: Matrix, reml: boolean) {
  const n = y.length;
  const p = x[0]!.length;
  const { inverse, logDeterminant } = invert(v);
  const xv = times(transpose(x), inverse);
  const information = times(xv, x);
  const { inverse: phi, logDeterminant: logInformation } = invert(information);
  const column = y.map((value) => [value]);
  const beta = times(phi, times(xv, column));
  const e = plus(column, times(x, beta), -1);
  const quadratic = times(transpose(e), times(inverse, e))[0]![0]!;
  return {
    value:
      logDeterminant + quadratic + (reml ? logInformation : 0) + (reml ? n - p : n) * Math.log(2 * Math.PI),
    beta: beta.map((row) => row[0]!),
    phi,
    inverse,
    quadratic,
  };
}

/** Symmetric unit matrices of each covariance element of each term, as n x n derivatives of V; then I. */
export function derivativesOf(
  terms: readonly DenseTerm[],
  kinds: readonly ('full' | 'diagonal')[],
): Matrix[] {
  const n = terms[0]!.designs[0]!.length;
  const out: Matrix[] = [];
  terms.forEach((term, t) => {
    const q = term.designs.length;
    for (let a = 0; a < q; a++)
      for (let b = 0; b <= (kinds[t] === 'full' ? a : 0); b++) {
        const [row, column] = kinds[t] === 'full' ? [a, b] : [a, a];
        const unit = zeros(q, q);
        unit[row]![column] = 1;
        unit[column]![row] = 1;
        out.push(covarianceOf([term], [unit], 0));
      }
  });
  out.push(Array.from({ length: n }, (_, i) => Array.from({ length: n }, (__, j) => (i === j ? 1 : 0))));
  return out;
}

/** Kenward and Roger's adjusted covariance and the df of each fixed effect, from n x n matrices. */
export function denseKenwardRoger(x: Matrix, v: Matrix, derivatives: readonly Matrix[]) {
  const { inverse } = invert(v);
  const xt = transpose(x);
  const phi = invert(times(times(xt, inverse), x)).inverse;
  const vg = derivatives.map((g) => times(inverse, g));
  const p = vg.map((m) => times(times(xt, times(m, inverse)), x).map((row) => row.map((value) => -value)));
  const k = derivatives.length;
  const q = vg.map((a) => vg.map((b) => times(times(xt, times(times(a, b), inverse)), x)));
  const information = zeros(k, k);
  for (let i = 0; i < k; i++)
    for (let j = 0; j < k; j++)
      information[i]![j] =
        0.5 *
        (traceOf(times(vg[i]!, vg[j]!)) -
          2 * traceOf(times(phi, q[i]![j]!)) +
          traceOf(times(times(phi, p[i]!), times(phi, p[j]!))));
  const w = invert(information).inverse;
  let inner = zeros(phi.length, phi.length);
  for (let i = 0; i < k; i++)
    for (let j = 0; j < k; j++)
      inner = plus(inner, plus(q[i]![j]!, times(times(p[i]!, phi), p[j]!), -1), w[i]![j]!);
  const adjusted = plus(phi, times(times(phi, inner), phi), 2);
  const degrees = phi.map((_, c) => {
    const slopes = p.map((m) => times(times(phi, m), phi)[c]![c]! / phi[c]![c]!);
    let sum = 0;
    for (let i = 0; i < k; i++) for (let j = 0; j < k; j++) sum += w[i]![j]! * slopes[i]! * slopes[j]!;
    return 2 / sum;
  });
  return { adjusted, degrees };
}

/**
 * The smallest deviance a derivative-free search (Nelder and Mead 1965, Computer Journal 7, 308-313) finds from
 * `start`; covariance factors and the logarithm of the residual SD are the variables, V = sum g_i G_i.
 */
export function denseSearch(
  x: Matrix,
  y: number[],
  derivatives: readonly Matrix[],
  elementsOf: (variables: readonly number[]) => number[],
  reml: boolean,
  start: readonly number[],
  evaluations: number,
): number {
  const f = (variables: readonly number[]) => quickDeviance(x, y, derivatives, elementsOf(variables), reml);
  const n = start.length;
  let simplex = [start, ...start.map((_, i) => start.map((value, j) => value + (i === j ? 0.3 : 0)))].map(
    (at) => ({ at: [...at], value: f(at) }),
  );
  for (let used = n + 1; used < evaluations; ) {
    simplex.sort((a, b) => a.value - b.value);
    const worst = simplex[n]!;
    const centre = start.map((_, j) => simplex.slice(0, n).reduce((sum, { at }) => sum + at[j]! / n, 0));
    const along = (t: number) => centre.map((c, j) => c + t * (worst.at[j]! - c));
    const attempt = (t: number) => {
      used++;
      const at = along(t);
      return { at, value: f(at) };
    };
    const reflected = attempt(-1);
    if (reflected.value < simplex[0]!.value) {
      const further = attempt(-2);
      simplex[n] = further.value < reflected.value ? further : reflected;
    } else if (reflected.value < simplex[n - 1]!.value) simplex[n] = reflected;
    else {
      const nearer = attempt(reflected.value < worst.value ? -0.5 : 0.5);
      if (nearer.value < Math.min(worst.value, reflected.value)) simplex[n] = nearer;
      else {
        const best = simplex[0]!;
        simplex = simplex.map(({ at }) => {
          const to = at.map((value, j) => 0.5 * (value + best.at[j]!));
          return { at: to, value: f(to) };
        });
        used += n + 1;
      }
    }
  }
  return Math.min(...simplex.map(({ value }) => value));
}

/** The deviance by one n x n Cholesky factor, for searches. */
export function quickDeviance(
  x: Matrix,
  y: number[],
  derivatives: readonly Matrix[],
  elements: readonly number[],
  reml: boolean,
): number {
  const n = y.length;
  const p = x[0]!.length;
  const l = zeros(n, n);
  derivatives.forEach((g, i) => {
    const e = elements[i]!;
    if (e !== 0) for (let r = 0; r < n; r++) for (let c = 0; c <= r; c++) l[r]![c]! += e * g[r]![c]!;
  });
  let value = (reml ? n - p : n) * Math.log(2 * Math.PI);
  for (let i = 0; i < n; i++) {
    const row = l[i]!;
    for (let j = 0; j <= i; j++) {
      let sum = row[j]!;
      for (let k = 0; k < j; k++) sum -= row[k]! * l[j]![k]!;
      if (i === j) {
        if (!(sum > 0)) return Number.POSITIVE_INFINITY;
        row[j] = Math.sqrt(sum);
        value += Math.log(sum);
      } else row[j] = sum / l[j]![j]!;
    }
  }
  const w = x.map((row, i) => [...row, y[i]!]);
  for (let i = 0; i < n; i++)
    for (let c = 0; c <= p; c++) {
      let sum = w[i]![c]!;
      for (let k = 0; k < i; k++) sum -= l[i]![k]! * w[k]![c]!;
      w[i]![c] = sum / l[i]![i]!;
    }
  const cross = times(transpose(w), w);
  const information = cross.slice(0, p).map((row) => row.slice(0, p));
  const { inverse, logDeterminant } = invert(information);
  const xy = cross.slice(0, p).map((row) => [row[p]!]);
  value += cross[p]![p]! - times(transpose(xy), times(inverse, xy))[0]![0]!;
  return value + (reml ? logDeterminant : 0);
}
