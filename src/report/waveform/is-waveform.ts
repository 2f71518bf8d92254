import type { Finding, WaveformTables } from '../../studies/index.ts';

/** Whether a Finding is one on curves, with the tables that its figures need. */
export function isWaveform(finding: Finding): finding is Finding<WaveformTables> {
  const tables = finding.tables as Partial<Record<keyof WaveformTables, unknown>> | null | undefined;
  return (
    finding.study === 'waveform' &&
    (['curves', 'golfers', 'nodes', 'windows', 'timing'] as const).every((name) =>
      Array.isArray(tables?.[name]),
    ) &&
    typeof tables?.axis === 'object'
  );
}
