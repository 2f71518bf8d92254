import { choleskyInPlace, type Stream } from '../../../numerics/index.ts';
import type { Design } from '../design/design.ts';
import { isCrossed } from '../linear/crossed/crossed-system.ts';

/**
 * Draws as many groups of the coarsest factor as there are, with replacement, each with all that is in it. A group drawn
 * twice counts as two groups; only its cross products are weighted, no row is touched. The system must hold the
 * outcome whose groups are drawn; each draw overwrites the corner. Null for a draw in which the fixed effects cannot be told apart.
 * Throws for crossed factors, whose groups cannot be drawn apart from each other.
 */
export function prepareReweighing(
  design: Design,
): (stream: Stream) => { readonly counts: Float64Array; readonly rows: number } | null {
  const { system, places } = design.assembled;
  if (system.stages.length === 0 || isCrossed(system))
    throw new Error(
      'caseBootstrap: whole groups can only be drawn where the groups are nested; use the parametric bootstrap',
    );
  const last = system.stages.length - 1;
  const t = places.findIndex(({ stage }) => stage === last);
  const grouping = design.groupings.find(({ name }) => name === design.terms[t]!.group)!;
  const { node } = places[t]!;
  const groups = system.stages[last]!.nodes;
  const D = system.trailing;
  const p = D - 1;
  const { fixed, outcome } = design.columns;
  const corners = new Float64Array(groups * D * D);
  const sizes = new Float64Array(groups);
  const row = new Float64Array(D);
  for (let i = 0; i < design.rows; i++) {
    const group = node[grouping.at[i]!]!;
    sizes[group] = sizes[group]! + 1;
    for (let a = 0; a < p; a++) row[a] = fixed[a * design.rows + i]!;
    row[p] = outcome[i]!;
    for (let a = 0, at = group * D * D; a < D; a++)
      for (let b = 0; b < D; b++, at++) corners[at] = corners[at]! + row[a]! * row[b]!;
  }
  const counts = new Float64Array(groups);
  const factor = new Float64Array(p * p);
  /** Whether the drawn groups tell the fixed effects apart. */
  const solvable = (): boolean => {
    for (let a = 0; a < p; a++) for (let b = 0; b < p; b++) factor[a * p + b] = system.corner[a * D + b]!;
    if (!choleskyInPlace(factor, p)) return false;
    for (let a = 0; a < p; a++) if (factor[a * p + a]! ** 2 < 1e-9 * system.corner[a * D + a]!) return false;
    return true;
  };
  return (stream) => {
    counts.fill(0);
    for (let k = 0; k < groups; k++) {
      const group = stream.integer(0, groups - 1);
      counts[group] = counts[group]! + 1;
    }
    system.corner.fill(0);
    let rows = 0;
    for (let group = 0; group < groups; group++) {
      const weight = counts[group]!;
      if (weight === 0) continue;
      rows += weight * sizes[group]!;
      for (let a = 0, at = group * D * D; a < D * D; a++, at++)
        system.corner[a] = system.corner[a]! + weight * corners[at]!;
    }
    return solvable() ? { counts, rows } : null;
  };
}
