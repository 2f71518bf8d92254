import type { Design } from '../design/design.ts';
import type { FittedDesign } from '../linear/fitted-design.ts';

/** Rows that stand or fall together, by the level they are deleted by. */
export interface Grouped {
  readonly levels: readonly string[];
  /** For each level its rows, as places among the usable rows. */
  readonly rows: readonly (readonly number[])[];
  /** Whether no random effect is shared between levels. */
  readonly independent: boolean;
}

/**
 * The rows of a fit by the levels of one of its groups (unless named, the outermost: the one with the fewest
 * levels), or by labels of one's own, one for each usable row.
 * Throws when the group is not one of the model's or there are not as many labels as usable rows.
 */
export function groupedRows(
  caller: string,
  { design }: FittedDesign,
  by?: string | readonly string[],
): Grouped {
  const { groupings, rows: n } = design;
  const labels = by === undefined || typeof by === 'string' ? null : by;
  if (labels && labels.length !== n)
    throw new Error(`${caller}: hand in one label for each of the ${n} usable rows; found ${labels.length}`);
  const outermost = [...groupings].sort((a, b) => a.levels.length - b.levels.length)[0];
  const grouping = by === undefined ? outermost : groupings.find(({ name }) => name === by);
  if (!labels && !grouping)
    throw new Error(
      groupings.length === 0
        ? `${caller}: this model has no random group; hand in one label for each of the ${n} usable rows`
        : `${caller}: no group ${by as string}; the groups are ${groupings.map(({ name }) => name).join(', ')}`,
    );
  const levels = labels ? [...new Set(labels)] : grouping!.levels;
  const place = new Map(levels.map((level, index) => [level, index]));
  const at = labels ? Int32Array.from(labels, (label) => place.get(label)!) : grouping!.at;
  const rows: number[][] = levels.map(() => []);
  for (let i = 0; i < n; i++) rows[at[i]!]!.push(i);
  return { levels, rows, independent: sharesNothing(design, at) };
}

/** Whether every level of every random group lies inside one level of the labels. */
function sharesNothing({ groupings, rows: n }: Design, at: Int32Array): boolean {
  return groupings.every(({ at: finer, levels }) => {
    const home = new Int32Array(levels.length).fill(-1);
    for (let i = 0; i < n; i++) {
      const level = finer[i]!;
      if (home[level] === -1) home[level] = at[i]!;
      else if (home[level] !== at[i]) return false;
    }
    return true;
  });
}

/** The rows of a design in parts that share no random effect: by a group that holds all others, else one part. */
export function independentParts(design: Design): readonly (readonly number[])[] {
  const outer = design.groupings.find(({ at }) => sharesNothing(design, at));
  const rows: number[][] = Array.from({ length: outer?.levels.length ?? 1 }, () => []);
  for (let i = 0; i < design.rows; i++) rows[outer?.at[i] ?? 0]!.push(i);
  return rows;
}
