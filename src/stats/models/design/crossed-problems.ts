import type { ModelProblem } from '../contract.ts';
import { groupTree } from './group-tree.ts';
import type { Grouping, RandomColumns } from './random-columns.ts';

/** Effects of crossed groups are solved as one dense block, whose cost grows with the cube of their number. */
const MOST_CROSSED_EFFECTS = 600;

/** Crossed groups so large that the dense block would keep the user waiting for many minutes. */
export function crossedProblems(
  terms: readonly RandomColumns[],
  groupings: readonly Grouping[],
): ModelProblem[] {
  const { chain, crossed } = groupTree(groupings);
  const effects = crossed.reduce(
    (sum, { name, levels }) =>
      sum +
      levels.length *
        terms.reduce((own, { group, effects: list }) => own + (group === name ? list.length : 0), 0),
    0,
  );
  if (effects <= MOST_CROSSED_EFFECTS) return [];
  return [
    {
      kind: 'not-available',
      where: '/random',
      found: `${crossed.map(({ name, levels }) => `${name} (${levels.length} levels)`).join(', ')} crossed with ${chain.map(({ name }) => name).join(', ')}: ${effects} effects that are not nested`,
      expected: `at most ${MOST_CROSSED_EFFECTS} effects of groups that are crossed with the largest one`,
      remedy:
        'Leave out the crossed group that matters least, or fit a part of the data. Nested groups have no limit.',
    },
  ];
}
