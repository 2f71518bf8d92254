import type { ModelProblem } from '../contract.ts';
import type { BlockSystem } from '../linear/block-system.ts';
import { costOf } from '../linear/crossed/cost.ts';
import { isCrossed } from '../linear/crossed/crossed-system.ts';
import type { Grouping } from './random-columns.ts';

/** Multiplications of one evaluation of the deviance: about six seconds, and a fit takes ten of them. */
const MOST_MULTIPLICATIONS = 6e9;
const MOST_BYTES = 2 ** 30;

/** Crossed groups so closely tied to each other that solving them together would take too long or too much memory. */
export function crossedProblems(system: BlockSystem, groupings: readonly Grouping[]): ModelProblem[] {
  if (!isCrossed(system)) return [];
  const { evaluation, bytes, largest } = costOf(system);
  if (evaluation <= MOST_MULTIPLICATIONS && bytes <= MOST_BYTES) return [];
  const groups = groupings.map(({ name, levels }) => `${name} (${levels.length} levels)`).join(', ');
  return [
    {
      kind: 'not-available',
      where: '/random',
      found: `${groups}: crossed so closely that ${largest} of their effects must be solved together, in about ${(bytes / 2 ** 30).toFixed(1)} GiB of memory and some ${Math.ceil(evaluation / 1e9)} seconds for each of ten steps`,
      expected: `at most ${MOST_BYTES / 2 ** 30} GiB and six seconds for a step, as for some 2000 effects that are all tied to each other`,
      remedy:
        'Leave out the crossed group that matters least, its slopes, or fit a part of the data. Nested groups, and crossed ones of which each level meets few others, have no such limit.',
    },
  ];
}
