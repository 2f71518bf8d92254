import { freePositions } from '../linear/covariance-shape.ts';
import type { GeneralisedDesign } from './generalised-design.ts';
import { type RowTerms, rowTerms } from './likelihood/likelihood.ts';
import type { RandomLayout } from './random/random-layout.ts';
import { type SparseFactor, sparseFactor } from './random/sparse-factor.ts';

/** The random effects that make the joint likelihood greatest, at given fixed effects and covariances. */
export interface Mode {
  /** Spherical random effects; the next search starts from them. */
  readonly b: Float64Array;
  readonly eta: Float64Array;
  readonly terms: RowTerms;
  /** rows x perRow: Lambda' z of each row. */
  readonly columns: Float64Array;
  /** For each random term its Lambda, q x q, row-major. */
  readonly lambda: readonly Float64Array[];
  /** Factor of H = I + Lambda' Z' W Z Lambda at the mode. */
  readonly factor: SparseFactor;
  /** Returns F at the mode; infinite where there is none. */
  find(thresholds: ArrayLike<number>, coefficients: ArrayLike<number>, theta: ArrayLike<number>): number;
  /** Evaluates the likelihood at the mode again, after it has been looked at elsewhere. */
  refresh(): void;
}

/** Squared Newton decrement, per effect, below which the mode is found: it is then off by 1e-11 of its spread. */
const SETTLED = 1e-22;

/**
 * Penalised iteratively reweighted least squares: Newton steps on F = -sum log f + b'b / 2, which is convex, halved
 * where F would not fall. Source: Breslow and Clayton (1993), JASA 88, 9-25, section 2.
 */
export function modeSearch(design: GeneralisedDesign, layout: RandomLayout): Mode {
  const { rows, likelihood, x, offset } = design;
  const p = design.fixedNames.length;
  const { perRow, effect, pair, pattern, shape } = layout;
  const size = layout.effects;
  const terms = rowTerms(rows);
  const fixedPart = new Float64Array(rows);
  const eta = new Float64Array(rows);
  const columns = new Float64Array(rows * perRow);
  const b = new Float64Array(size);
  const before = new Float64Array(size);
  /** What the last mode was found for, from which the next is foretold. */
  const lastFixedPart = new Float64Array(rows);
  const lastColumns = new Float64Array(rows * perRow);
  const scoreShift = new Float64Array(rows);
  let found = false;
  const step = new Float64Array(size);
  const factor = sparseFactor(pattern);
  const positions = shape.terms.map(freePositions);
  const lambda = shape.terms.map(({ effects }) => new Float64Array(effects * effects));

  const prepare = (coefficients: ArrayLike<number>, theta: ArrayLike<number>): void => {
    lastFixedPart.set(fixedPart);
    lastColumns.set(columns);
    if (offset) fixedPart.set(offset);
    else fixedPart.fill(0);
    for (let k = 0; k < p; k++) {
      const c = coefficients[k]!;
      const column = k * rows;
      for (let i = 0; i < rows; i++) fixedPart[i] = fixedPart[i]! + c * x[column + i]!;
    }
    let place = 0;
    design.terms.forEach(({ values, effects }, t) => {
      const q = effects.length;
      const own = lambda[t]!;
      for (const [a, c] of positions[t]!) own[a * q + c] = theta[place++]!;
      const { slot } = layout.terms[t]!;
      for (let i = 0; i < rows; i++)
        for (let c = 0; c < q; c++) {
          let sum = 0;
          for (let a = c; a < q; a++) sum += own[a * q + c]! * values[i * q + a]!;
          columns[i * perRow + slot + c] = sum;
        }
    });
  };

  /** F at b, with the row terms. */
  const value = (): number => {
    if (perRow === 1) for (let i = 0; i < rows; i++) eta[i] = fixedPart[i]! + columns[i]! * b[effect[i]!]!;
    else
      for (let i = 0; i < rows; i++) {
        let sum = fixedPart[i]!;
        const at = i * perRow;
        for (let r = 0; r < perRow; r++) sum += columns[at + r]! * b[effect[at + r]!]!;
        eta[i] = sum;
      }
    likelihood.evaluate(eta, terms);
    let sum = 0;
    for (let j = 0; j < size; j++) sum += b[j]! * b[j]!;
    sum *= 0.5;
    const rowValue = terms.value;
    for (let i = 0; i < rows; i++) sum -= rowValue[i]!;
    return sum;
  };

  /** H and minus the gradient of F, at the row terms as they stand. With one effect per row H is its diagonal. */
  const assemble = (): void => {
    const { entries } = factor;
    const { score, weight } = terms;
    entries.fill(0);
    for (let j = 0; j < size; j++) {
      entries[pattern.start[j]!] = 1;
      step[j] = -b[j]!;
    }
    if (perRow === 1) {
      for (let i = 0; i < rows; i++) {
        const v = columns[i]!;
        const j = effect[i]!;
        step[j] = step[j]! + v * score[i]!;
        entries[j] = entries[j]! + weight[i]! * v * v;
      }
      return;
    }
    let k = 0;
    for (let i = 0; i < rows; i++) {
      const at = i * perRow;
      const w = weight[i]!;
      for (let r = 0; r < perRow; r++) {
        const v = columns[at + r]!;
        const j = effect[at + r]!;
        step[j] = step[j]! + v * score[i]!;
        const wv = w * v;
        for (let s = 0; s <= r; s++) {
          const place = pair[k++]!;
          entries[place] = entries[place]! + wv * columns[at + s]!;
        }
      }
    }
  };

  /** Moves b as the mode moves to first order (implicit differentiation), unless that is far. */
  const foretell = (): void => {
    const { score, weight } = terms;
    for (let j = 0; j < size; j++) step[j] = -b[j]!;
    for (let i = 0; i < rows; i++) {
      const at = i * perRow;
      let moved = fixedPart[i]! - lastFixedPart[i]!;
      for (let r = 0; r < perRow; r++)
        moved += (columns[at + r]! - lastColumns[at + r]!) * b[effect[at + r]!]!;
      const there = score[i]! - weight[i]! * moved + scoreShift[i]!;
      for (let r = 0; r < perRow; r++) {
        const j = effect[at + r]!;
        step[j] = step[j]! + columns[at + r]! * there;
      }
    }
    before.set(step);
    factor.solve(step);
    let square = 0;
    for (let j = 0; j < size; j++) square += before[j]! * step[j]!;
    if (square < 0.1 * size) for (let j = 0; j < size; j++) b[j] = b[j]! + step[j]!;
  };

  const descend = (): number => {
    let here = value();
    if (!Number.isFinite(here)) {
      b.fill(0);
      here = value();
      if (!Number.isFinite(here)) return Number.POSITIVE_INFINITY;
    }
    for (let round = 0; round < 200; round++) {
      assemble();
      if (!factor.factor()) return Number.POSITIVE_INFINITY;
      before.set(step);
      factor.solve(step);
      let promised = 0;
      for (let j = 0; j < size; j++) promised += before[j]! * step[j]!;
      if (promised <= SETTLED * size) return here;
      before.set(b);
      let share = 1;
      for (;;) {
        for (let j = 0; j < size; j++) b[j] = before[j]! + share * step[j]!;
        const there = value();
        if (there <= here + 1e-13 * (1 + Math.abs(here))) {
          here = there;
          break;
        }
        share *= 0.5;
        if (share < 1e-10) {
          b.set(before);
          return value();
        }
      }
    }
    return here;
  };

  return {
    b,
    eta,
    terms,
    columns,
    lambda,
    factor,
    find(thresholds, coefficients, theta) {
      if (found) likelihood.thresholds?.scoreShift(thresholds, scoreShift);
      likelihood.thresholds?.set(thresholds);
      prepare(coefficients, theta);
      if (found) foretell();
      const least = descend();
      found = Number.isFinite(least);
      return least;
    },
    refresh() {
      likelihood.evaluate(eta, terms);
    },
  };
}
