import type { Finding, OneGolferTables } from '../../studies/index.ts';

/** Whether a Finding is about one golfer (or a few) with the tables that its figures need. */
export function isOneGolfer(finding: Finding): finding is Finding<OneGolferTables> {
  const tables = finding.tables as Partial<Record<keyof OneGolferTables, unknown>> | null | undefined;
  return (
    finding.study === 'one-golfer' &&
    (['sessions', 'phases', 'limits'] as const).every((name) => Array.isArray(tables?.[name]))
  );
}
