import type { Grouping } from './random-columns.ts';

/**
 * The grouping factors in the order they are eliminated: a chain, finest first, each nested in the next; the
 * factors that are not nested in that chain are left over.
 */
export interface GroupTree {
  readonly chain: readonly Grouping[];
  readonly crossed: readonly Grouping[];
}

/** Whether each level of `inner` lies in a single level of `outer`. */
export function isNested(inner: Grouping, outer: Grouping): boolean {
  const parent = new Int32Array(inner.levels.length).fill(-1);
  for (let row = 0; row < inner.at.length; row++) {
    const level = inner.at[row]!;
    if (parent[level] === -1) parent[level] = outer.at[row]!;
    else if (parent[level] !== outer.at[row]!) return false;
  }
  return true;
}

/**
 * The chain of groupings that lie inside one another, the finest first, and those that cross it. Plates and samples of
 * which every pair occurs give the chain [the one with more levels] and the other crossed; casks lie inside batches:
 *
 * @example
 * const batch = { name: 'batch', levels: ['A', 'B'], at: Int32Array.of(0, 0, 1, 1) };
 * const cask = { name: 'batch / cask', levels: ['A1', 'A2', 'B1', 'B2'], at: Int32Array.of(0, 1, 2, 3) };
 * groupTree([batch, cask]).chain.map(({ name }) => name) // ['batch / cask', 'batch']
 */
export function groupTree(groupings: readonly Grouping[]): GroupTree {
  const left = [...groupings].sort(
    (a, b) => b.levels.length - a.levels.length || (isNested(a, b) && !isNested(b, a) ? -1 : 0),
  );
  const chain: Grouping[] = [];
  const first = left.shift();
  if (first) chain.push(first);
  for (;;) {
    const next = left.findIndex((candidate) => isNested(chain.at(-1)!, candidate));
    if (next < 0 || !first) break;
    chain.push(left.splice(next, 1)[0]!);
  }
  return { chain, crossed: left };
}
