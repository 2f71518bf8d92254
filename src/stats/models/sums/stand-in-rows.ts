import type { SumsPlan } from './plan-sums.ts';
import type { CellSums } from './read-sums.ts';
import { placesOfProducts } from './sums-columns.ts';

/** A pivot below this share of its sum of squares is rounding error. */
const ROUNDING = 1e-14;
/** What is this far from possible no rounding makes: the sums contradict each other. */
const CONTRADICTION = 1e-5;

/**
 * A few rows for each cell that have the same sums of squares and products as all of its rows: everything a normal
 * model takes from rows. They are the Cholesky factor of the cell's matrix of sums, U with U'U = S, row by row.
 */
export interface StandInRows {
  readonly entries: number;
  /** Cell of each entry. */
  readonly cell: Int32Array;
  /** Rows that each entry counts for: those of its cell for the cell's first, 0 for the others. */
  readonly counts: Float64Array;
  /** For each product of the plan's basis its value in each entry. */
  readonly values: readonly Float64Array[];
}

/** The rows that stand in for those behind the sums of some cells, or the cells (places in `sums`) whose sums contradict each other. */
export function standInRows(
  plan: SumsPlan,
  sums: CellSums,
  cells: Int32Array,
): StandInRows | { readonly contradictory: readonly number[] } {
  const b = plan.basis.length;
  const places = placesOfProducts(plan);
  const work = new Float64Array(b * b);
  const contradictory: number[] = [];
  const rank = new Int32Array(cells.length);
  /** Leaves U in `work` with rows of zeros where there was no pivot, and returns how many there were. */
  const factorise = (cell: number): number => {
    for (let at = 0; at < b * b; at++) work[at] = sums.sums[places[at]!]![cell]!;
    let found = 0;
    let broken = false;
    for (let i = 0; i < b; i++) {
      const whole = Math.max(0, sums.sums[places[i * b + i]!]![cell]!);
      const pivot = work[i * b + i]!;
      if (pivot < -CONTRADICTION * whole || sums.sums[places[i * b + i]!]![cell]! < 0) broken = true;
      const none = !(pivot > ROUNDING * whole) || found >= sums.counts[cell]!;
      const root = none ? 1 : Math.sqrt(pivot);
      // What a column without a pivot still shares with a later one must be rounding error too.
      if (none)
        for (let k = i + 1; k < b; k++) {
          const other = Math.max(0, sums.sums[places[k * b + k]!]![cell]!);
          if (Math.abs(work[i * b + k]!) > CONTRADICTION * Math.sqrt(whole * other)) broken = true;
        }
      for (let k = i; k < b; k++) work[i * b + k] = none ? 0 : work[i * b + k]! / root;
      if (none) continue;
      found++;
      for (let j = i + 1; j < b; j++) {
        const x = work[i * b + j]!;
        if (x !== 0) for (let k = j; k < b; k++) work[j * b + k] = work[j * b + k]! - x * work[i * b + k]!;
      }
    }
    if (broken) contradictory.push(cell);
    return found;
  };
  let entries = 0;
  cells.forEach((cell, c) => {
    rank[c] = factorise(cell);
    entries += rank[c]!;
  });
  if (contradictory.length > 0) return { contradictory };
  const values = plan.basis.map(() => new Float64Array(entries));
  const cell = new Int32Array(entries);
  const counts = new Float64Array(entries);
  let entry = 0;
  cells.forEach((at, c) => {
    factorise(at);
    counts[entry] = sums.counts[at]!;
    for (let i = 0; i < b; i++) {
      if (work[i * b + i] === 0) continue;
      cell[entry] = c;
      for (let k = i; k < b; k++) values[k]![entry] = work[i * b + k]!;
      entry++;
    }
  });
  return { entries, cell, counts, values };
}
