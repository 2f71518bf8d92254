import type { Combination } from '../contract.ts';
import type { Grouping, RandomColumns } from '../design/random-columns.ts';

/** One weight of a combination, by where its random effect stands: place of the term, of the level and of the effect. */
export interface RandomWeight {
  readonly term: number;
  readonly level: number;
  readonly effect: number;
  readonly weight: number;
}

const places = new WeakMap<Grouping, ReadonlyMap<string, number>>();

function placeOfLevel(grouping: Grouping, name: string): number | undefined {
  let known = places.get(grouping);
  if (known === undefined) {
    known = new Map(grouping.levels.map((level, place) => [level, place]));
    places.set(grouping, known);
  }
  return known.get(name);
}

/**
 * The random parts of a combination by places instead of names.
 *
 * @throws Error for a group, a level or an effect that the fit does not have
 */
export function randomWeights(
  parts: NonNullable<Combination['random']>,
  groupings: readonly Grouping[],
  terms: readonly RandomColumns[],
): RandomWeight[] {
  return parts.flatMap(({ group, level: name, weights }) => {
    const grouping = groupings.find((candidate) => candidate.name === group);
    if (!grouping)
      throw new Error(
        `combine: no group ${group}; the groups are ${groupings.map((candidate) => candidate.name).join(', ')}`,
      );
    const level = placeOfLevel(grouping, name);
    if (level === undefined)
      throw new Error(`combine: ${group} has no level ${name} in the data of this fit`);
    return Object.entries(weights).map(([effect, weight]) => {
      const term = terms.findIndex(
        (candidate) => candidate.group === group && candidate.effects.includes(effect),
      );
      if (term < 0) throw new Error(`combine: ${effect} is not a random effect of ${group}`);
      return { term, level, effect: terms[term]!.effects.indexOf(effect), weight };
    });
  });
}
