import type { Stage } from '../block-system.ts';

/** Relative step of the differences. */
const STEP = 1e-3;
/** Factors closer to singular than that are left to the exact sums. */
const LEAST = 1e-3;

/**
 * Second derivatives of the log determinant by two covariance elements, m x m, from differences of its first derivatives
 * along the entries of the covariance factors (four points each, error of the fourth order in the step). The entries
 * of a stage's factor and its elements correspond, and in the order of the elements their Jacobian is lower
 * triangular. `slopes(factors, by)` gives the first derivatives, false where it cannot. Null where a factor is nearly
 * singular.
 */
export function differencedCurvature(
  stages: readonly Stage[],
  factors: readonly Float64Array[],
  slopes: (factors: readonly Float64Array[], by: Float64Array) => boolean,
): Float64Array | null {
  const elements = stages.flatMap(({ elements: own, effects }, stage) =>
    own.map(({ places }) => ({ stage, row: places[0]!, column: places[1]!, q: effects })),
  );
  const m = elements.length;
  const moved = factors.map((lambda) => Float64Array.from(lambda));
  for (const { stage, row, column, q } of elements)
    if (row === column && !(Math.abs(moved[stage]![row * q + row]!) >= LEAST)) return null;
  const along = new Float64Array(m * m);
  const by = new Float64Array(m);
  for (let k = 0; k < m; k++) {
    const { stage, row, column, q } = elements[k]!;
    const at = row * q + column;
    const here = factors[stage]![at]!;
    const step = STEP * Math.max(0.1, Math.abs(factors[stage]![column * q + column]!));
    for (const [times, weight] of [
      [1, 8],
      [-1, -8],
      [2, -1],
      [-2, 1],
    ] as const) {
      moved[stage]![at] = here + times * step;
      if (!slopes(moved, by)) return null;
      for (let i = 0; i < m; i++) along[i * m + k] = along[i * m + k]! + (weight * by[i]!) / (12 * step);
    }
    moved[stage]![at] = here;
  }
  /** d element j / d entry k. */
  const jacobian = (j: number, k: number): number => {
    const one = elements[j]!;
    const entry = elements[k]!;
    if (one.stage !== entry.stage) return 0;
    const lambda = factors[one.stage]!;
    let sum = 0;
    if (one.row === entry.row) sum += lambda[one.column * one.q + entry.column]!;
    if (one.column === entry.row) sum += lambda[one.row * one.q + entry.column]!;
    return sum;
  };
  const out = new Float64Array(m * m);
  for (let k = m - 1; k >= 0; k--)
    for (let i = 0; i < m; i++) {
      let sum = along[i * m + k]!;
      for (let j = k + 1; j < m; j++) sum -= out[i * m + j]! * jacobian(j, k);
      out[i * m + k] = sum / jacobian(k, k);
    }
  for (let i = 0; i < m; i++)
    for (let j = 0; j < i; j++) {
      const mean = 0.5 * (out[i * m + j]! + out[j * m + i]!);
      out[i * m + j] = mean;
      out[j * m + i] = mean;
    }
  return out;
}
