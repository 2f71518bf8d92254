import type { DrillTrialTables, Finding, GolferChange } from '../../studies/index.ts';
import type { FigureTable } from '../figure.ts';
import { designWords } from './design-words.ts';
import { phaseWords } from './phases.ts';

/** The numbers under the figures, and in the files: each table once, for both. */

export function golferTable(finding: Finding, golfers: readonly GolferChange[]): FigureTable {
  const { unit } = finding.metric;
  const { before, after, observed } = designWords(finding);
  return {
    columns: [
      { key: 'golfer', label: 'golfer' },
      { key: 'arm', label: 'arm' },
      { key: 'before', label: before, unit },
      { key: 'after', label: after, unit },
      { key: 'retention', label: 'later', unit },
      { key: 'change', label: `${observed} observed`, unit },
      { key: 'shrunken', label: 'best guess', unit },
      { key: 'low', label: 'low', unit },
      { key: 'high', label: 'high', unit },
      { key: 'chanceMeaningful', label: 'chance it matters' },
      { key: 'swingsBefore', label: `swings ${before}` },
      { key: 'swingsAfter', label: `swings ${after}` },
      { key: 'reps', label: 'logged repetitions' },
    ],
    rows: golfers.map(({ interval, ...row }) => ({
      ...row,
      low: interval?.[0] ?? null,
      high: interval?.[1] ?? null,
    })),
  };
}

export function groupTable({ metric, tables }: Finding<DrillTrialTables>): FigureTable {
  const { unit } = metric;
  return {
    columns: [
      { key: 'arm', label: 'arm' },
      { key: 'phase', label: 'phase' },
      { key: 'task', label: 'swings' },
      { key: 'golfers', label: 'golfers' },
      { key: 'swings', label: 'number of swings' },
      { key: 'mean', label: 'mean', unit },
      { key: 'low', label: 'low', unit },
      { key: 'high', label: 'high', unit },
      { key: 'level', label: 'level' },
    ],
    rows: tables.groups.map(({ interval, ...row }) => ({
      ...row,
      phase: phaseWords[row.phase],
      task: row.task === 'full' ? 'full' : 'at drill speed',
      low: interval?.[0] ?? null,
      high: interval?.[1] ?? null,
    })),
  };
}

/** Who was there at each stage, by arm. */
export function flowTable({ tables }: Finding<DrillTrialTables>): FigureTable {
  return {
    columns: [
      { key: 'arm', label: 'arm' },
      { key: 'assigned', label: 'assigned' },
      { key: 'baseline', label: 'measured before' },
      { key: 'post', label: 'measured after' },
      { key: 'retention', label: 'measured later' },
    ],
    rows: tables.flow.map((row) => ({ ...row })),
  };
}

export function doseTable(finding: Finding<DrillTrialTables>): FigureTable {
  const armOf = new Map(finding.tables.golfers.map(({ golfer, arm }) => [golfer, arm]));
  return {
    columns: [
      { key: 'golfer', label: 'golfer' },
      { key: 'arm', label: 'arm' },
      { key: 'reps', label: 'logged repetitions' },
      { key: 'change', label: `${designWords(finding).observed} observed`, unit: finding.metric.unit },
    ],
    rows: finding.tables.dose.map((row) => ({ ...row, arm: armOf.get(row.golfer) ?? null })),
  };
}

/** Every row that the page is drawn from, whether or not a figure could show it, by file name. */
export function drillTrialTables(finding: Finding<DrillTrialTables>): Record<string, FigureTable> {
  return {
    golfers: golferTable(finding, finding.tables.golfers),
    groups: groupTable(finding),
    flow: flowTable(finding),
    dose: doseTable(finding),
  };
}
