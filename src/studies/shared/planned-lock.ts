import type { PhaseCounts, Plan, PlanLock } from '../../dataset/index.ts';
import type { PlannedPart, PlannedTiming } from '../finding.ts';
import { asPlanned, changed } from './planned-parts.ts';
import { count, list } from './words.ts';

/** Whether what was there when the plan was locked is as it was. */
export function dataParts(lock: PlanLock | undefined): PlannedPart[] {
  if (lock === undefined) return [];
  if (lock.changes.length === 0)
    return [asPlanned('the data at the lock', 'Every row that was there then is there unchanged.')];
  return lock.changes.map(({ where, what }) => changed('the data at the lock', `${where}: ${what}.`));
}

/** What of the answer could be known when the plan was locked. */
export function timingOf(plan: Plan, lock: PlanLock | undefined): PlannedTiming {
  if (lock === undefined) return 'not-known';
  const values = lock.had.metricValues;
  if (total(values) === 0) return 'before-the-data';
  const before = plan.phases?.before ?? 'baseline';
  return total(values) === values[before] ? 'after-the-first-phase' : 'after-the-data';
}

export function lockWords(plan: Plan, lock: PlanLock | undefined): string {
  if (lock === undefined)
    return 'Whether the plan was written before the data came in cannot be seen from the plan itself: lock a plan before the first session.';
  const { seal, had } = lock;
  const sessions = phasesInWords(had.sessions);
  const found =
    total(had.sessions) === 0
      ? 'when no session was in the data'
      : `when ${sessions} were in the data, with ${count(total(had.metricValues), 'value')} of ${plan.metric.column}`;
  const timing = timingOf(plan, lock);
  const meaning =
    timing === 'before-the-data'
      ? 'Nothing of the answer could be known then.'
      : timing === 'after-the-first-phase'
        ? 'Where golfers stood at the start could be known then, and nothing of what came after.'
        : 'Some of the answer could be known then, so the plan does not show that the question came first.';
  return `The plan was locked ${found} (seal ${seal.slice(0, 16)}). ${meaning} The seal shows this only to those who were told it at that time.`;
}

function phasesInWords(counts: PhaseCounts): string {
  const named = Object.entries(counts).filter(([, n]) => n > 0);
  return list(named.map(([phase, n]) => count(n, `${phase} session`)));
}

function total(counts: PhaseCounts): number {
  return Object.values(counts).reduce((sum, n) => sum + n, 0);
}
