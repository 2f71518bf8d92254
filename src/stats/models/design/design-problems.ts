import type { OrthogonalColumns } from '../../../numerics/index.ts';
import type { ModelProblem } from '../contract.ts';
import type { FixedEffect } from './fixed-columns.ts';
import type { Grouping, RandomColumns } from './random-columns.ts';

/** Names each column that depends on earlier ones, and which. */
export function collinearProblems(
  { q, r, dependent }: OrthogonalColumns,
  names: readonly string[],
  effects: readonly FixedEffect[],
  x: Float64Array,
  n: number,
): ModelProblem[] {
  const p = names.length;
  return dependent.map((column) => {
    const where = effects.find(({ columns }) => columns.some(({ index }) => index === column))!.where;
    let empty = true;
    for (let i = 0; i < n; i++) if (x[column * n + i] !== 0) empty = false;
    const remedy = 'Take one of them out.';
    if (empty)
      return {
        kind: 'collinear',
        where,
        found: `${names[column]}, which is zero in every usable row`,
        expected: 'a column that varies',
        remedy: 'Take the term out, or check that every combination of levels has rows.',
      };
    // Coefficients of the column on the independent ones before it.
    const coefficients = new Float64Array(p);
    for (let k = column - 1; k >= 0; k--) {
      if (r[k * p + k] === 0) continue;
      let sum = 0;
      for (let i = 0; i < n; i++) sum += q[k * n + i]! * x[column * n + i]!;
      for (let l = k + 1; l < column; l++) sum -= r[k * p + l]! * coefficients[l]!;
      coefficients[k] = sum / r[k * p + k]!;
    }
    const length = (k: number) => Math.hypot(...x.subarray(k * n, (k + 1) * n));
    const whole = length(column);
    const others = names.filter((_, k) => Math.abs(coefficients[k]!) * length(k) > 1e-6 * whole);
    return {
      kind: 'collinear',
      where,
      found: `${names[column]}, which can be computed from ${others.join(', ')}`,
      expected: 'columns none of which follows from the others',
      remedy,
    };
  });
}

/**
 * Groups that hold no more rows than they have effects leave nothing for the residual. `counts` says how many rows each
 * entry of a grouping counts for, where that is not one.
 */
export function crowdedProblems(
  terms: readonly RandomColumns[],
  groupings: readonly Grouping[],
  n: number,
  counts: Float64Array | null = null,
): ModelProblem[] {
  return terms.flatMap((term): ModelProblem[] => {
    const grouping = groupings.find(({ name }) => name === term.group)!;
    const q = term.effects.length;
    if (term.kind === 'diagonal' && q > 1) return [];
    const sizes = new Float64Array(grouping.levels.length);
    grouping.at.forEach((level, entry) => {
      sizes[level] = sizes[level]! + (counts ? counts[entry]! : 1);
    });
    const taken = sizes.reduce((sum, size) => sum + Math.min(size, q), 0);
    if (taken < n) return [];
    const largest = sizes.reduce((most, size) => Math.max(most, size), 0);
    return [
      {
        kind: 'too-many-effects',
        where: `${term.where}/effects`,
        found: `${q} random effect${q > 1 ? 's' : ''} (${term.effects.join(', ')}) for each of ${grouping.levels.length} levels of ${term.group}, none of which has more than ${largest} row${largest > 1 ? 's' : ''}`,
        expected: 'groups with more rows than effects',
        remedy:
          'Name fewer effects, use a coarser group, or keep the single measurements instead of their means.',
      },
    ];
  });
}
