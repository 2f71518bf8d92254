import type { Finding, InstructorsTables } from '../../studies/index.ts';
import type { FigureTable } from '../figure.ts';

export function instructorTable({ metric, tables }: Finding<InstructorsTables>): FigureTable {
  const { unit } = metric;
  return {
    columns: [
      { key: 'instructor', label: 'instructor' },
      { key: 'pupils', label: 'pupils' },
      { key: 'raw', label: 'mean before shrinking', unit },
      { key: 'effect', label: 'best guess', unit },
      { key: 'low', label: 'low', unit },
      { key: 'high', label: 'high', unit },
      { key: 'reliability', label: 'reliability of the mean' },
      ...(tables.ranked
        ? [
            { key: 'rank', label: 'rank (middle)' },
            { key: 'rankLow', label: 'rank from' },
            { key: 'rankHigh', label: 'rank to' },
            { key: 'chanceTopThird', label: 'chance of being in the top third' },
          ]
        : []),
    ],
    rows: tables.instructors.map(({ interval, rankInterval, ...row }) => ({
      ...row,
      low: interval[0],
      high: interval[1],
      rankLow: rankInterval?.[0] ?? null,
      rankHigh: rankInterval?.[1] ?? null,
    })),
  };
}

export function pairTable({ tables }: Finding<InstructorsTables>): FigureTable {
  return {
    columns: [
      { key: 'first', label: 'instructor' },
      { key: 'second', label: 'against' },
      { key: 'chance', label: 'chance of being ahead' },
      { key: 'apart', label: 'told apart' },
    ],
    rows: tables.pairs.map(({ apart, ...row }) => ({ ...row, apart: apart ? 'yes' : 'no' })),
  };
}

export function reliabilityTable({ tables }: Finding<InstructorsTables>): FigureTable {
  return {
    columns: [
      { key: 'pupils', label: 'pupils of an instructor' },
      { key: 'reliability', label: 'reliability' },
      { key: 'low', label: 'low' },
      { key: 'high', label: 'high' },
    ],
    rows: tables.reliability.map(({ interval, ...row }) => ({ ...row, low: interval[0], high: interval[1] })),
  };
}
