/**
 * From the free parameters of a covariance factor to the factor and the covariance. For each random term with q
 * effects the factor Lambda is lower triangular (full) or diagonal, in units of the residual SD, and the
 * covariance is Lambda Lambda'. Parameters run down the columns of Lambda's lower triangle; the covariance
 * elements of block-system.ts run in the same order.
 */

export interface TermShape {
  /** Index of the stage in the block system. */
  readonly stage: number;
  /** First effect of the term's first copy in the stage. */
  readonly offset: number;
  readonly effects: number;
  readonly kind: 'full' | 'diagonal';
  /** How many levels share the stage's single node (1 where each level has a node of its own). */
  readonly copies: number;
}

/** Positions (row, column), row >= column, of a term's free parameters inside its q x q factor. */
export function freePositions(term: TermShape): (readonly [number, number])[] {
  const positions: (readonly [number, number])[] = [];
  for (let column = 0; column < term.effects; column++)
    for (let row = column; row < (term.kind === 'full' ? term.effects : column + 1); row++)
      positions.push([row, column]);
  return positions;
}

/** The places of each free element of the term inside its stage's effects (all copies, both triangles). */
export function elementPlaces(term: TermShape): Int32Array[] {
  return freePositions(term).map(([row, column]) => {
    const places: number[] = [];
    for (let copy = 0; copy < term.copies; copy++) {
      const base = term.offset + copy * term.effects;
      places.push(base + row, base + column);
      if (row !== column) places.push(base + column, base + row);
    }
    return Int32Array.from(places);
  });
}

export interface CovarianceShape {
  readonly terms: readonly TermShape[];
  /** Where each term's parameters start; one more entry than terms, the last being the total. */
  readonly starts: readonly number[];
  /** Writes the stage factors (effects x effects, row-major) for `theta`. */
  fillFactors(theta: Float64Array, factors: readonly Float64Array[], stageEffects: readonly number[]): void;
  /** The term's relative covariance, effects x effects. */
  covariance(theta: Float64Array, term: number): Float64Array;
  /**
   * Turns derivatives by covariance element into derivatives by theta, written to `out`:
   * g_theta = J' g and H_theta = J' H J + sum_k g_k d2 Sigma_k.
   */
  fillTheta(
    theta: Float64Array,
    gradient: Float64Array,
    hessian: Float64Array,
    out: { readonly gradient: Float64Array; readonly hessian: Float64Array },
  ): void;
  /** J' v: a derivative by covariance element turned into one by theta. */
  chain(theta: Float64Array, gradient: Float64Array): Float64Array;
}

export function covarianceShape(terms: readonly TermShape[]): CovarianceShape {
  const positions = terms.map(freePositions);
  const starts = [0];
  for (const list of positions) starts.push(starts.at(-1)! + list.length);
  const total = starts.at(-1)!;

  /** Non-zero entries of the Jacobian d(element)/d(theta), and of the second derivatives. */
  const slopes: { element: number; theta: number; by: number; factor: number }[] = [];
  const bends: { element: number; first: number; second: number; value: number }[] = [];
  const half = new Float64Array(total * total);
  terms.forEach((_, t) => {
    const list = positions[t]!;
    const start = starts[t]!;
    const at = (row: number, column: number) => {
      const i = list.findIndex(([r, c]) => r === row && c === column);
      return i < 0 ? -1 : start + i;
    };
    list.forEach(([a, b], e) => {
      for (let k = 0; k <= b; k++) {
        const left = at(a, k);
        const right = at(b, k);
        if (left < 0 || right < 0) continue;
        const element = start + e;
        if (left === right) {
          slopes.push({ element, theta: left, by: left, factor: 2 });
          bends.push({ element, first: left, second: left, value: 2 });
        } else {
          slopes.push({ element, theta: left, by: right, factor: 1 });
          slopes.push({ element, theta: right, by: left, factor: 1 });
          bends.push({ element, first: left, second: right, value: 1 });
          bends.push({ element, first: right, second: left, value: 1 });
        }
      }
    });
  });

  const fillChain = (theta: Float64Array, gradient: Float64Array, out: Float64Array): void => {
    out.fill(0);
    for (let s = 0; s < slopes.length; s++) {
      const { element, theta: t, by, factor } = slopes[s]!;
      out[t] = out[t]! + factor * theta[by]! * gradient[element]!;
    }
  };
  const chain = (theta: Float64Array, gradient: Float64Array): Float64Array => {
    const out = new Float64Array(total);
    fillChain(theta, gradient, out);
    return out;
  };
  /** One entry of the factors for each parameter and copy: stage, place, parameter. */
  const entries = terms.flatMap((term, t) =>
    positions[t]!.flatMap(([row, column], e) =>
      Array.from({ length: term.copies }, (_, copy) => {
        const base = term.offset + copy * term.effects;
        return { stage: term.stage, row: base + row, column: base + column, theta: starts[t]! + e };
      }),
    ),
  );
  return {
    terms,
    starts,
    chain,
    fillFactors(theta, factors, stageEffects) {
      for (let s = 0; s < factors.length; s++) factors[s]!.fill(0);
      for (let e = 0; e < entries.length; e++) {
        const { stage, row, column, theta: t } = entries[e]!;
        factors[stage]![row * stageEffects[stage]! + column] = theta[t]!;
      }
    },
    covariance(theta, t) {
      const q = terms[t]!.effects;
      const factor = new Float64Array(q * q);
      positions[t]!.forEach(([row, column], e) => {
        factor[row * q + column] = theta[starts[t]! + e]!;
      });
      const out = new Float64Array(q * q);
      for (let a = 0; a < q; a++)
        for (let b = 0; b < q; b++)
          for (let k = 0; k <= Math.min(a, b); k++)
            out[a * q + b] = out[a * q + b]! + factor[a * q + k]! * factor[b * q + k]!;
      return out;
    },
    fillTheta(theta, gradient, hessian, out) {
      half.fill(0);
      for (let s = 0; s < slopes.length; s++) {
        const { element, theta: t, by, factor } = slopes[s]!;
        const weight = factor * theta[by]!;
        for (let j = 0; j < total; j++)
          half[t * total + j] = half[t * total + j]! + weight * hessian[element * total + j]!;
      }
      fillChain(theta, gradient, out.gradient);
      const h = out.hessian;
      h.fill(0);
      for (let s = 0; s < slopes.length; s++) {
        const { element, theta: t, by, factor } = slopes[s]!;
        const weight = factor * theta[by]!;
        for (let j = 0; j < total; j++)
          h[j * total + t] = h[j * total + t]! + weight * half[j * total + element]!;
      }
      for (let s = 0; s < bends.length; s++) {
        const { element, first, second, value } = bends[s]!;
        h[first * total + second] = h[first * total + second]! + value * gradient[element]!;
      }
    },
  };
}
