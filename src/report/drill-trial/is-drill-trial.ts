import type { DrillTrialTables, Finding } from '../../studies/index.ts';

/** Whether a Finding is a drill trial with the tables that its figures need. */
export function isDrillTrial(finding: Finding): finding is Finding<DrillTrialTables> {
  const tables = finding.tables as Partial<Record<keyof DrillTrialTables, unknown>> | null | undefined;
  return (
    finding.study === 'drill-trial' &&
    (['golfers', 'groups', 'flow', 'dose'] as const).every((name) => Array.isArray(tables?.[name]))
  );
}
