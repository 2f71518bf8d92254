import type { Dataset, Plan } from '../../dataset/index.ts';
import type { PlannedPart } from '../finding.ts';

/** Whether collecting ended as the plan says: how many golfers, sessions and swings there are, and until when. */
export function stoppingPart(plan: Plan, dataset: Dataset): PlannedPart {
  const part = 'the stopping rule';
  const rule = plan.stoppingRule;
  if (rule === undefined)
    return {
      part,
      state: 'exploratory',
      words:
        'The plan does not say when collecting ends, so it cannot be shown that it did not end because the answer pleased.',
    };
  const found = collected(plan, dataset);
  const departures = [
    rule.golfers !== undefined && found.golfers !== rule.golfers
      ? `${rule.golfers} golfers were planned, ${found.golfers} have full swings`
      : null,
    rule.sessionsPerPhase !== undefined && found.otherSessions > 0
      ? `${rule.sessionsPerPhase} sessions of each golfer in a phase were planned; ${found.otherSessions} of ${found.visits} golfers' phases have another number`
      : null,
    rule.swingsPerSession !== undefined && found.otherSwings > 0
      ? `${rule.swingsPerSession} full swings in a session were planned; ${found.otherSwings} of ${found.sessions} sessions have another number`
      : null,
    rule.lastDate !== undefined && found.last !== null && found.last > rule.lastDate
      ? `the last session was to be on ${rule.lastDate}; there is one on ${found.last}`
      : null,
  ].filter((departure) => departure !== null);
  if (departures.length > 0) return { part, state: 'changed', words: `${departures.join('; ')}.` };
  const checked = [rule.golfers, rule.sessionsPerPhase, rule.swingsPerSession, rule.lastDate];
  return {
    part,
    state: 'as-planned',
    words: checked.every((item) => item === undefined)
      ? `${rule.words} The data cannot show whether it was kept.`
      : rule.words,
  };
}

/** What was collected in the phases that the plan compares. */
function collected({ phases, stoppingRule }: Plan, { tables }: Dataset) {
  const compared = phases === undefined ? ['baseline', 'post', 'retention'] : Object.values(phases);
  const ids = tables.sessions.column('session_id');
  const golfers = tables.sessions.column('golfer_id');
  const phaseOf = tables.sessions.column('phase');
  const dates = tables.sessions.column('date');
  const tasks = tables.swings.column('task');
  const swings = new Map<string, number>();
  tables.swings.column('session_id').forEach((session, row) => {
    if (tasks[row] === 'full') swings.set(session ?? '', (swings.get(session ?? '') ?? 0) + 1);
  });
  const seen = new Set<string>();
  const visits = new Map<string, number>();
  let sessions = 0;
  let otherSwings = 0;
  let last: string | null = null;
  for (let row = 0; row < ids.length; row++) {
    const n = swings.get(ids[row] ?? '') ?? 0;
    if (!compared.includes(phaseOf[row]!) || n === 0) continue;
    seen.add(golfers[row]!);
    const visit = JSON.stringify([golfers[row], phaseOf[row]]);
    visits.set(visit, (visits.get(visit) ?? 0) + 1);
    sessions += 1;
    if (n !== stoppingRule?.swingsPerSession) otherSwings += 1;
    const date = dates[row] ?? null;
    if (date !== null && (last === null || date > last)) last = date;
  }
  const otherSessions = [...visits.values()].filter((n) => n !== stoppingRule?.sessionsPerPhase).length;
  return { golfers: seen.size, sessions, otherSwings, otherSessions, visits: visits.size, last };
}
