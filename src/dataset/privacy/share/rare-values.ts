/** Who has a value, and in which group (here the level of consent) everybody is. */
export interface Holders {
  readonly values: ReadonlyMap<string, ReadonlySet<string>>;
  readonly groupOf: ReadonlyMap<string, number>;
  /** People with a row in which nothing stands. */
  readonly without: ReadonlySet<string>;
}

/**
 * The values that may be shown: each held by nobody or by at least `least` people, in every group and so in every union and
 * difference of groups. A value that is hidden must not be found by taking the others away from the whole: where fewer than
 * `least` people are left without a value, the next rarest value is hidden too, until nobody or enough are (complementary
 * suppression).
 */
export function valuesShown({ values, groupOf, without }: Holders, least: number): ReadonlySet<string> {
  const counts = new Map([...values].map(([value, people]) => [value, perGroup(people, groupOf)]));
  const shown = new Set([...values.keys()].filter((value) => isEnough(counts.get(value)!, least)));
  for (;;) {
    const hidden = new Set(without);
    for (const [value, people] of values)
      if (!shown.has(value)) for (const person of people) hidden.add(person);
    const next = [...perGroup(hidden, groupOf)]
      .filter(([, count]) => count > 0 && count < least)
      .map(([group]) => rarestIn(group))
      .find((value) => value !== undefined);
    // A group that is itself too small has no value left to hide behind; such groups are in no export.
    if (next === undefined) return shown;
    shown.delete(next);
  }

  function rarestIn(group: number): string | undefined {
    const held = (value: string): number => counts.get(value)!.get(group) ?? 0;
    return [...shown]
      .filter((value) => held(value) > 0)
      .sort((a, b) => held(a) - held(b) || values.get(a)!.size - values.get(b)!.size || (a < b ? -1 : 1))[0];
  }
}

function perGroup(
  people: Iterable<string>,
  groupOf: ReadonlyMap<string, number>,
): ReadonlyMap<number, number> {
  const counts = new Map<number, number>();
  for (const person of people) {
    const group = groupOf.get(person);
    if (group !== undefined) counts.set(group, (counts.get(group) ?? 0) + 1);
  }
  return counts;
}

function isEnough(counts: ReadonlyMap<number, number>, least: number): boolean {
  return [...counts.values()].every((count) => count >= least);
}
