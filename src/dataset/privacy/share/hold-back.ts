/** Golfers of a new export, and what an earlier one says of them. */
export interface Returning {
  /** Who would be shown, with the group that shares all that is said, now and before. */
  readonly groupOf: ReadonlyMap<string, string>;
  /** What earlier exports said of each golfer who was in one. */
  readonly historyOf: ReadonlyMap<string, string>;
}

/**
 * Who is held back, though they could be shown, so that nobody is found by taking a new export from an earlier one: of the
 * golfers of whom earlier exports said the same, nobody or `least` are missing from the new one. Where fewer are (one withdrew),
 * others of the same group are held back with them; of a group that would become too small, all. The least that is enough is
 * taken, and always in the same order.
 */
export function heldBack({ groupOf, historyOf }: Returning, least: number): ReadonlySet<string> {
  const held = new Set<string>();
  for (;;) {
    const shown = [...groupOf.keys()].filter((golfer) => !held.has(golfer));
    const isShown = new Set(shown);
    const missing = new Map<string, number>();
    for (const [golfer, history] of historyOf)
      if (!isShown.has(golfer)) missing.set(history, (missing.get(history) ?? 0) + 1);
    const short = [...missing].find(
      ([history, count]) => count < least && shown.some((golfer) => historyOf.get(golfer) === history),
    );
    if (short === undefined) return held;
    const [history, count] = short;
    const groups = new Map<string, string[]>();
    for (const golfer of shown.filter((one) => historyOf.get(one) === history).sort()) {
      const group = groupOf.get(golfer)!;
      groups.set(group, [...(groups.get(group) ?? []), golfer]);
    }
    const needed = least - count;
    const ways = [...groups.values()].map((group) =>
      group.length - needed >= least ? group.slice(-needed) : group,
    );
    ways.sort((a, b) => a.length - b.length || (a[0]! < b[0]! ? -1 : 1));
    for (const golfer of ways[0]!) held.add(golfer);
  }
}
