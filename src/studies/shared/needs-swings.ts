import type { Plan } from '../../dataset/index.ts';
import type { StudyProblem } from '../study.ts';

/** What of a plan needs each swing, which sums do not have. */
export function needsSwings(plan: Plan | null): StudyProblem[] {
  const problem = (where: string, found: string): StudyProblem => ({
    where: `the plan, ${where}`,
    found,
    expected: 'nothing that needs each swing, where there are so many that they were summed by session',
    remedy: 'Take it out of the plan, or ask of a part of the golfers.',
  });
  return [
    ...(plan?.exclusions?.some(({ table }) => table === 'swings')
      ? [problem('/exclusions', 'swings left out by their id')]
      : []),
    ...(plan?.exclusionRules?.some(({ table }) => table === 'swings')
      ? [problem('/exclusionRules', 'swings left out by a rule')]
      : []),
    ...(plan?.stoppingRule === undefined ? [] : [problem('/stoppingRule', 'a rule that counts swings')]),
  ];
}
