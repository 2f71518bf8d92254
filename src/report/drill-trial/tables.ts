import type { DrillTrialTables, Finding } from '../../studies/index.ts';
import type { FigureTable } from '../figure.ts';
import { flowTable } from './flow-table.ts';

/** Every row that the page is drawn from, whether or not a figure could show it, by file name. */
export function drillTrialTables(finding: Finding<DrillTrialTables>): Record<string, FigureTable> {
  const { unit } = finding.metric;
  const { golfers, groups, dose } = finding.tables;
  return {
    golfers: {
      columns: [
        { key: 'golfer', label: 'golfer' },
        { key: 'arm', label: 'arm' },
        { key: 'role', label: 'role' },
        { key: 'before', label: 'before', unit },
        { key: 'after', label: 'after', unit },
        { key: 'retention', label: 'retention', unit },
        { key: 'swingsBefore', label: 'swings before' },
        { key: 'swingsAfter', label: 'swings after' },
        { key: 'change', label: 'change observed', unit },
        { key: 'shrunken', label: 'best guess of change', unit },
        { key: 'low', label: 'low', unit },
        { key: 'high', label: 'high', unit },
        { key: 'chanceMeaningful', label: 'chance the change matters' },
        { key: 'reps', label: 'logged repetitions' },
      ],
      rows: golfers.map(({ interval, ...row }) => ({
        ...row,
        low: interval?.[0] ?? null,
        high: interval?.[1] ?? null,
      })),
    },
    groups: {
      columns: [
        { key: 'arm', label: 'arm' },
        { key: 'role', label: 'role' },
        { key: 'phase', label: 'phase' },
        { key: 'task', label: 'task' },
        { key: 'golfers', label: 'golfers' },
        { key: 'swings', label: 'swings' },
        { key: 'mean', label: 'mean', unit },
        { key: 'low', label: 'low', unit },
        { key: 'high', label: 'high', unit },
        { key: 'level', label: 'level' },
      ],
      rows: groups.map(({ interval, ...row }) => ({
        ...row,
        low: interval?.[0] ?? null,
        high: interval?.[1] ?? null,
      })),
    },
    flow: flowTable(finding),
    dose: {
      columns: [
        { key: 'golfer', label: 'golfer' },
        { key: 'reps', label: 'logged repetitions' },
        { key: 'change', label: 'change observed', unit },
      ],
      rows: dose.map((row) => ({ ...row })),
    },
  };
}
