import { canonicalJson } from '../canonical-json.ts';
import type { Dataset } from '../dataset.ts';
import { TABLE_NAMES } from '../generated/rows.ts';
import { sha256Hex } from '../hash.ts';
import type { Plan } from '../plan.ts';
import { fieldHashes } from './fields.ts';
import { lockTable, tableChanges } from './locked-table.ts';
import type { LockedData, LockedPlan, PhaseCounts, PlanLock } from './plan-lock.ts';

/**
 * Seals a plan together with what is in the dataset at this moment. The seal is the SHA-256 of the canonical form
 * (keys in order, no spaces, numbers in their shortest form, as in RFC 8785) of everything else in the file. Nothing in
 * a file can show when it was made: that is what telling the seal to others is for.
 *
 * @example /^[0-9a-f]{64}$/.test(lockPlan(plan, dataset).seal) // true
 */
export function lockPlan(plan: Plan, dataset: Dataset): LockedPlan {
  const data = lockData(plan, dataset);
  const fields = fieldHashes({ plan, data });
  const body = { kind: 'locked plan', format: 1, plan, data, fields } as const;
  return { ...body, seal: sealOf(body) };
}

/**
 * The file of a locked plan, as JSON text: the same lock gives the same bytes.
 * @example JSON.parse(lockedPlanText(lockPlan(plan, dataset))).kind // 'locked plan'
 */
export function lockedPlanText(locked: LockedPlan): string {
  return `${canonicalJson(locked, { indent: 2, sortKeys: false })}\n`;
}

/** The seal that belongs to the rest of a locked plan. */
export function sealOf(body: Omit<LockedPlan, 'seal'>): string {
  return sha256Hex(canonicalJson(body));
}

/**
 * What the lock says, set against the data as they are now.
 *
 * @example
 * const locked = lockPlan(plan, dataset);
 * compareWithLock(locked, dataset).changes // []
 * const fewer = keepGolfers(dataset, new Set(dataset.tables.golfers.column('golfer_id').slice(1)));
 * compareWithLock(locked, fewer).changes[0].where // 'golfers.csv, G01'
 */
export function compareWithLock({ seal, data }: LockedPlan, { tables }: Dataset): PlanLock {
  const { newestDate, golfers, sessions, swings, metricValues } = data;
  return {
    seal,
    had: { newestDate, golfers, sessions, swings, metricValues },
    changes: TABLE_NAMES.flatMap((name) => {
      const locked = data.tables[name];
      return locked === undefined ? [] : tableChanges(locked, tables[name]);
    }),
  };
}

function lockData({ metric }: Plan, dataset: Dataset): LockedData {
  const { tables, newestDate, files } = dataset;
  const { sessions, swings } = tables;
  const phases = sessions.column('phase');
  const phaseOf = new Map(sessions.column('session_id').map((id, row) => [id, phases[row]!]));
  const swingPhases = swings.column('session_id').map((session) => phaseOf.get(session)!);
  const values = swings.has(metric.column) ? swings.numbers(metric.column) : null;
  return {
    newestDate,
    golfers: tables.golfers.length,
    sessions: countPhases(phases),
    swings: countPhases(swingPhases),
    metricValues: countPhases(swingPhases.filter((_, row) => values !== null && !Number.isNaN(values[row]))),
    files,
    tables: Object.fromEntries(
      TABLE_NAMES.filter((name) => tables[name].length > 0).map((name) => [name, lockTable(tables[name])]),
    ),
  };
}

function countPhases(phases: readonly (string | null)[]): PhaseCounts {
  const count = (phase: string) => phases.filter((own) => own === phase).length;
  return {
    baseline: count('baseline'),
    training: count('training'),
    post: count('post'),
    retention: count('retention'),
  };
}
