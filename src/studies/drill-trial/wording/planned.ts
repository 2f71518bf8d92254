import type { Plan } from '../../../dataset/index.ts';
import type { Planned } from '../../finding.ts';
import { list } from '../../shared/words.ts';
import type { Design } from '../input/design.ts';

/** Whether this question was written down beforehand, and what the plan left open. */
export function plannedWords(plan: Plan | null, column: string, design: Design): Planned {
  if (plan === null)
    return {
      planned: false,
      words:
        'No plan was given, so this is exploratory: the number, the arms and the smallest change were chosen with the data at hand. Take it as a reason for a planned trial.',
    };
  if (plan.metric.column !== column)
    return {
      planned: false,
      words: `The plan is about ${plan.metric.column}; this answer about ${column} was not planned and is exploratory.`,
    };
  const open = [
    plan.design === undefined || plan.design === 'infer' ? 'the design' : null,
    plan.arms === undefined ? 'the arms' : null,
    plan.smallestChangeThatMatters === undefined ? 'the smallest change that matters' : null,
  ].filter((item) => item !== null);
  const rest =
    open.length === 0 ? '' : ` It left open ${list(open)}, for which the study's stated default was taken.`;
  return {
    planned: true,
    words: `The number and the question were written in a plan${design.warnings.length > 0 ? ', which the data do not follow in all' : ''}.${rest} Whether the plan was written before the data came in cannot be seen from the plan itself.`,
  };
}
