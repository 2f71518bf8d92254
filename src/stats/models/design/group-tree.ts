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
 * Example: casks inside batches give the chain [batch / cask, batch] and nothing crossed; plates and samples of
 * which every pair occurs give the chain [the one with more levels] and the other crossed.
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
