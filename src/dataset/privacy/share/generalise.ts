/** What is known of one person: attributes that are stated as they are or not at all, and those that have coarser ways. */
export interface Person {
  readonly id: string;
  readonly fixed: string;
  /** For each attribute, its value at each level, from the finest. */
  readonly ladders: readonly (readonly string[])[];
}

export interface Generalised {
  /** For each attribute, how coarse it is stated, for everybody alike. */
  readonly levels: readonly number[];
  readonly kept: readonly string[];
  /** What is said of each who is kept, with all they have in common, as a text. */
  readonly groupOf: ReadonlyMap<string, string>;
  /** People who still would stand out, and are left out. */
  readonly leftOut: readonly string[];
}

/** Losing a tenth of the people costs as much as a step on a fifth of the way to saying nothing. */
const COST_OF_PEOPLE = 2;

/**
 * States attributes so coarsely that everybody who is kept shares all of them with at least `least - 1` others: full-domain
 * generalisation with suppression (Samarati P. IEEE Trans Knowl Data Eng 2001;13(6):1010; Sweeney L. Int J Uncertain
 * Fuzziness Knowl-Based Syst 2002;10(5):571). Every combination of levels is tried, and the one is taken that costs least:
 * twice the share of people left out, plus the mean of how far up its ladder each attribute is. Of equals the first, in the
 * order of the levels.
 */
export function generalise(people: readonly Person[], least: number): Generalised {
  const heights = (people[0]?.ladders ?? []).map((ladder) => ladder.length);
  let best: { readonly cost: number; readonly levels: readonly number[] } | null = null;
  for (const levels of combinations(heights)) {
    const sizes = classSizes(people, levels);
    let lost = 0;
    for (const size of sizes.values()) if (size < least) lost += size;
    const coarseness = levels.map((level, k) => (heights[k]! > 1 ? level / (heights[k]! - 1) : 0));
    const cost =
      (COST_OF_PEOPLE * lost) / people.length + coarseness.reduce((sum, one) => sum + one, 0) / levels.length;
    if (best === null || cost < best.cost - 1e-12) best = { cost, levels };
  }
  const levels = best?.levels ?? [];
  const sizes = classSizes(people, levels);
  const isKept = (person: Person): boolean => sizes.get(classOf(person, levels))! >= least;
  return {
    levels,
    kept: people.filter(isKept).map(({ id }) => id),
    groupOf: new Map(people.filter(isKept).map((person) => [person.id, classOf(person, levels)])),
    leftOut: people.filter((person) => !isKept(person)).map(({ id }) => id),
  };
}

function* combinations(heights: readonly number[]): Generator<readonly number[]> {
  if (heights.length === 0) {
    yield [];
    return;
  }
  for (let level = 0; level < heights[0]!; level += 1)
    for (const rest of combinations(heights.slice(1))) yield [level, ...rest];
}

function classSizes(people: readonly Person[], levels: readonly number[]): ReadonlyMap<string, number> {
  const sizes = new Map<string, number>();
  for (const person of people) {
    const key = classOf(person, levels);
    sizes.set(key, (sizes.get(key) ?? 0) + 1);
  }
  return sizes;
}

function classOf({ fixed, ladders }: Person, levels: readonly number[]): string {
  return JSON.stringify([fixed, ...levels.map((level, k) => ladders[k]?.[level])]);
}
