import type { Condition, Finding, OneGolferTables, SessionPoint } from '../../studies/index.ts';
import type { FigureTable } from '../figure.ts';

/** The numbers under the figures, and in the files: each table once, for both. */

export const conditionWords: Readonly<Record<Condition, string>> = {
  A: 'A, without',
  B: 'B, with the training',
  retention: 'later',
};

export const signalWords: Readonly<Record<SessionPoint['signals'][number], string>> = {
  'beyond-limits': 'beyond the limits',
  run: 'eighth or later in a row on one side',
  range: 'a jump over its limit',
};

export function sessionTable({ metric, tables }: Finding<OneGolferTables>, golfer?: string): FigureTable {
  const { unit } = metric;
  return {
    columns: [
      { key: 'session', label: 'session' },
      { key: 'golfer', label: 'golfer' },
      { key: 'order', label: 'number' },
      { key: 'date', label: 'date' },
      { key: 'condition', label: 'phase' },
      { key: 'swings', label: 'full swings' },
      { key: 'mean', label: 'mean', unit },
      { key: 'swingSd', label: 'SD of swings', unit },
      { key: 'movingRange', label: 'jump from the session before', unit },
      { key: 'signals', label: 'signal' },
    ],
    rows: tables.sessions
      .filter((row) => golfer === undefined || row.golfer === golfer)
      .map(
        ({
          session,
          golfer: whose,
          order,
          date,
          condition,
          swings,
          mean,
          swingSd,
          movingRange,
          signals,
        }) => ({
          session,
          golfer: whose,
          order,
          date,
          condition: conditionWords[condition],
          swings,
          mean,
          swingSd,
          movingRange,
          signals: signals.map((signal) => signalWords[signal]).join('; ') || null,
        }),
      ),
  };
}

export function phaseTable({ metric, tables }: Finding<OneGolferTables>): FigureTable {
  const { unit } = metric;
  return {
    columns: [
      { key: 'golfer', label: 'golfer' },
      { key: 'run', label: 'phase' },
      { key: 'condition', label: 'with or without' },
      { key: 'sessions', label: 'sessions' },
      { key: 'swings', label: 'full swings' },
      { key: 'mean', label: 'mean', unit },
      { key: 'sd', label: 'SD of sessions', unit },
      { key: 'slope', label: 'trend, each session', unit },
    ],
    rows: tables.phases.map((row) => ({ ...row, condition: conditionWords[row.condition] })),
  };
}

export function limitsTable({ metric, tables }: Finding<OneGolferTables>): FigureTable {
  const { unit } = metric;
  return {
    columns: [
      { key: 'golfer', label: 'golfer' },
      { key: 'from', label: 'sessions' },
      { key: 'centre', label: 'centre', unit },
      { key: 'low', label: 'low limit', unit },
      { key: 'high', label: 'high limit', unit },
      { key: 'meanRange', label: 'mean jump', unit },
      { key: 'rangeHigh', label: 'limit of jumps', unit },
    ],
    rows: tables.limits.map((row) => ({ ...row })),
  };
}

/** The difference under every way in which the design could have fallen, ordered. */
export function drawTable({ metric, tables }: Finding<OneGolferTables>): FigureTable {
  const table = tables.randomisation;
  return {
    columns: [
      { key: 'place', label: 'place' },
      { key: 'difference', label: 'difference', unit: metric.unit },
      { key: 'asLarge', label: 'as large as the one seen' },
    ],
    rows: (table?.differences ?? []).map((difference, i) => ({
      place: i + 1,
      difference,
      asLarge: isAsLarge(difference, table!.difference) ? 'yes' : 'no',
    })),
  };
}

/** Whether a difference is at least as large as the one seen, rounding aside. */
export function isAsLarge(difference: number, seen: number): boolean {
  return Math.abs(difference) >= Math.abs(seen) * (1 - 1e-9);
}
