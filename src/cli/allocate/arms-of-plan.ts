import type { Plan } from '../../dataset/index.ts';
import type { Fault } from '../result.ts';
import { fault } from './fault.ts';

/** What an entry of the list may say: an arm, or in a crossover an order. */
export function armsOfPlan(plan: Plan): { readonly arms: readonly string[] } | { readonly fault: Fault } {
  const { control, drill = [] } = plan.arms ?? {};
  if (control === undefined || drill.length === 0)
    return {
      fault: fault(
        'the plan, /arms',
        'no control and drill to choose between',
        'the names of the control and of the drill, as they will stand in assignments.csv',
        'name them in the plan',
      ),
    };
  if (plan.design === 'crossover' && drill.length === 1)
    return { arms: [`${drill[0]} then ${control}`, `${control} then ${drill[0]}`] };
  if (plan.design === undefined || plan.design === 'parallel') return { arms: [control, ...drill] };
  return {
    fault: fault(
      'the plan, /design',
      plan.design,
      'parallel, or a crossover of one drill and a control',
      'there is nothing to allocate, or it has to be drawn by other means',
    ),
  };
}
