import type { CohortTables } from '../../src/synthetic/index.ts';

export const mean = (values: readonly number[]) =>
  values.reduce((sum, value) => sum + value, 0) / values.length;

export function variance(values: readonly number[]): number {
  const centre = mean(values);
  return values.reduce((sum, value) => sum + (value - centre) ** 2, 0) / (values.length - 1);
}

/** Mean and the standard error of the mean of independent repetitions. */
export function averaged(values: readonly number[]): {
  readonly mean: number;
  readonly standardError: number;
} {
  return { mean: mean(values), standardError: Math.sqrt(variance(values) / values.length) };
}

/** Mean of a column for each golfer in each phase, over the swings of one task. */
export function phaseMeans(
  tables: CohortTables,
  column: string,
  task: 'full' | 'drill',
): Map<string, Map<string, number>> {
  const sessions = new Map(tables.sessions.map((session) => [session.session_id, session]));
  const values = new Map<string, Map<string, number[]>>();
  for (const swing of tables.swings) {
    const value = (swing as unknown as Record<string, unknown>)[column];
    if (swing.task !== task || value === null || value === undefined) continue;
    const { golfer_id, phase } = sessions.get(swing.session_id)!;
    const phases = values.get(golfer_id) ?? new Map<string, number[]>();
    phases.set(phase, [...(phases.get(phase) ?? []), Number(value)]);
    values.set(golfer_id, phases);
  }
  return new Map(
    [...values].map(([golfer, phases]) => [
      golfer,
      new Map([...phases].map(([phase, all]) => [phase, mean(all)])),
    ]),
  );
}

/** Each arm's golfer changes from baseline to a phase. */
export function changesByArm(
  tables: CohortTables,
  column: string,
  phase = 'post',
  task: 'full' | 'drill' = 'full',
): Record<'drill' | 'control', number[]> {
  const means = phaseMeans(tables, column, task);
  const changes = { drill: [] as number[], control: [] as number[] };
  for (const { golfer_id, arm } of tables.assignments) {
    const phases = means.get(golfer_id);
    const [before, after] = [phases?.get('baseline'), phases?.get(phase)];
    if (before !== undefined && after !== undefined) changes[arm as 'drill' | 'control'].push(after - before);
  }
  return changes;
}
