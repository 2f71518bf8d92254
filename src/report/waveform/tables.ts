import type { Finding, WaveformTables } from '../../studies/index.ts';
import type { FigureTable } from '../figure.ts';

const timeColumn = ({ axis }: WaveformTables) => ({ key: 'time', label: axis.label, unit: axis.unit });

/** Every so many nodes stand in the table beneath a figure; the file has them all. */
const SHOWN_EVERY = 5;

/** The difference at each node with its band. */
export function nodesTable({ tables, metric }: Finding<WaveformTables>, every = 1): FigureTable {
  const { unit } = metric;
  return {
    columns: [
      timeColumn(tables),
      { key: 'difference', label: 'difference', unit },
      { key: 'low', label: 'low', unit },
      { key: 'high', label: 'high', unit },
      { key: 't', label: 't' },
      { key: 'p', label: 'p, all nodes at once' },
    ],
    rows: tables.nodes.filter((_, q) => q % every === 0).map((node) => ({ ...node })),
  };
}

/** The mean curves side by side. */
export function meansTable({ tables, metric }: Finding<WaveformTables>, every = 1): FigureTable {
  return {
    columns: [
      timeColumn(tables),
      ...tables.curves.map(({ name }, k) => ({ key: `curve-${k + 1}`, label: name, unit: metric.unit })),
    ],
    rows: tables.nodes.flatMap(({ time }, q) =>
      q % every === 0
        ? [
            {
              time,
              ...Object.fromEntries(
                tables.curves.map(({ values }, k) => [`curve-${k + 1}`, values[q] ?? null]),
              ),
            },
          ]
        : [],
    ),
  };
}

/** Each golfer's curve that entered the comparison: a column for each golfer. */
export function golfersTable({ tables, metric }: Finding<WaveformTables>, every = 1): FigureTable {
  return {
    columns: [
      timeColumn(tables),
      ...tables.golfers.map(({ golfer, group }) => ({
        key: golfer,
        label: `${golfer} (${group})`,
        unit: metric.unit,
      })),
    ],
    rows: tables.nodes.flatMap(({ time }, q) =>
      q % every === 0
        ? [
            {
              time,
              ...Object.fromEntries(tables.golfers.map(({ golfer, values }) => [golfer, values[q] ?? null])),
            },
          ]
        : [],
    ),
  };
}

export function windowsTable({ tables, metric }: Finding<WaveformTables>): FigureTable {
  const { unit: time } = tables.axis;
  const { unit } = metric;
  return {
    columns: [
      { key: 'from', label: 'from', unit: time },
      { key: 'to', label: 'to', unit: time },
      { key: 'peakAt', label: 'clearest at', unit: time },
      { key: 'peak', label: 'difference there', unit },
      { key: 'peakLow', label: 'low', unit },
      { key: 'peakHigh', label: 'high', unit },
      { key: 'mean', label: 'mean difference', unit },
      { key: 'meanLow', label: 'low', unit },
      { key: 'meanHigh', label: 'high', unit },
      { key: 'matters', label: 'beyond what matters' },
    ],
    rows: tables.windows.map(({ peakInterval, meanInterval, matters, ...row }) => ({
      from: row.from,
      to: row.to,
      peakAt: row.peakAt,
      peak: row.peak,
      peakLow: peakInterval[0],
      peakHigh: peakInterval[1],
      mean: row.mean,
      meanLow: meanInterval[0],
      meanHigh: meanInterval[1],
      matters:
        matters.length === 0
          ? 'nowhere for certain'
          : matters.map(({ from, to }) => `${from} to ${to}`).join(', '),
    })),
  };
}

export function timingTable({ tables }: Finding<WaveformTables>): FigureTable {
  return {
    columns: [
      { key: 'instant', label: 'instant' },
      { key: 'difference', label: 'difference', unit: '%' },
      { key: 'low', label: 'low', unit: '%' },
      { key: 'high', label: 'high', unit: '%' },
    ],
    rows: tables.timing.map(({ instant, difference, interval }) => ({
      instant,
      difference,
      low: interval[0],
      high: interval[1],
    })),
  };
}

/** Every row that the page is drawn from, by file name. */
export function waveformTables(finding: Finding<WaveformTables>): Record<string, FigureTable> {
  return {
    difference: nodesTable(finding),
    curves: meansTable(finding),
    golfers: golfersTable(finding),
    windows: windowsTable(finding),
    timing: timingTable(finding),
  };
}

export { SHOWN_EVERY };
