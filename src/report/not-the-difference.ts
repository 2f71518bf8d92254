import type { Finding } from '../studies/index.ts';

/**
 * Why the effect of a drill is not the difference of the two changes that stand below it, in a sentence; '' where both
 * are not there.
 *
 * @example notTheDifference({ ...finding, estimates: [] }) // ''
 * @example notTheDifference(finding) // 'The effect is not the one group’s change less the other’s: ...'
 */
export function notTheDifference({ estimates }: Finding): string {
  const has = (key: string): boolean => estimates.some((estimate) => estimate.key === key);
  if (!has('effect') || !has('change-drill') || !has('change-control')) return '';
  return 'The effect is not the one group’s change less the other’s: a change is the plain mean over golfers measured before and after, while the effect comes from a model that lets the groups start alike and uses every golfer.';
}
