import type { ModelProblem } from '../contract.ts';
import type { Grouping } from '../design/random-columns.ts';

/** Throws: a fit from sums was asked what only rows tell. */
export function needsRows(): never {
  throw new Error(
    'this fit was made from sums, and what is asked of it needs rows; fit the rows with fitModel',
  );
}

/** Sums are made for groups that lie inside each other. */
export function crossedGroups(groupings: readonly Grouping[]): ModelProblem {
  return {
    kind: 'not-available',
    where: '/random',
    found: `groups that cross each other: ${groupings.map(({ name }) => name).join(', ')}`,
    expected: 'groups each of which lies inside the next',
    remedy: 'Fit the rows instead, or take one of the groups out.',
  };
}
