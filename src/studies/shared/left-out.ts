import type { LeftOut } from '../finding.ts';

/**
 * Groups rows that did not enter the answer by their reason, in order of first appearance, with every
 * id. Together with the swings used they account for every swing in the dataset.
 */
export function groupLeftOut(
  table: string,
  entries: readonly { readonly id: string; readonly why: string }[],
): LeftOut[] {
  const byReason = new Map<string, string[]>();
  for (const { id, why } of entries) {
    const ids = byReason.get(why);
    if (ids === undefined) byReason.set(why, [id]);
    else ids.push(id);
  }
  return [...byReason].map(([why, ids]) => ({ table, ids: [...ids].sort(), count: ids.length, why }));
}
