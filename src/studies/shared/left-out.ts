import type { LeftOut } from '../finding.ts';

/**
 * Groups rows that did not enter the answer by their reason, in order of first appearance, with every
 * id. Together with the swings used they account for every swing in the dataset.
 */
export function groupLeftOut(
  table: string,
  entries: Iterable<{ readonly id: string; readonly why: string }>,
): LeftOut[] {
  const byReason = new Map<string, string[]>();
  for (const { id, why } of entries) {
    const ids = byReason.get(why);
    if (ids === undefined) byReason.set(why, [id]);
    else ids.push(id);
  }
  return [...byReason].map(([why, ids]) => ({ table, ids: ids.sort(), count: ids.length, why }));
}

/** Rows by their reason, ids where they are known. */
export interface CountedLeftOut {
  readonly count: number;
  readonly ids: readonly string[] | null;
  readonly why: string;
}

/** Like `groupLeftOut`, for rows that come counted: where the ids of a reason are not known the list is empty, and says so. */
export function joinLeftOut(table: string, entries: readonly CountedLeftOut[]): LeftOut[] {
  const byReason = new Map<string, { count: number; ids: string[] | null }>();
  for (const { count, ids, why } of entries) {
    if (count === 0) continue;
    const own = byReason.get(why) ?? { count: 0, ids: [] };
    own.count += count;
    if (ids === null) own.ids = null;
    else if (own.ids !== null) for (const id of ids) own.ids.push(id);
    byReason.set(why, own);
  }
  return [...byReason].map(([why, { count, ids }]) => ({
    table,
    ids: ids === null ? [] : ids.sort(),
    count,
    why: ids === null ? `${why} (not listed one by one: the swings were summed where they are)` : why,
  }));
}
