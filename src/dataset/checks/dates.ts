import type { Problem } from '../problem.ts';
import { isDate } from '../read/date-cell.ts';
import type { Table } from '../table.ts';

const PHASES = ['baseline', 'training', 'post', 'retention'] as const;
type Phase = (typeof PHASES)[number];

/** A date that is wrong in itself is reported once, and not again for where it stands. */
function isUsable(date: string | null | undefined): date is string {
  return date != null && date >= '1990-01-01' && isDate(date);
}

interface Tables {
  readonly golfers: Table<'golfers'>;
  readonly sessions: Table<'sessions'>;
  readonly assignments: Table<'assignments'>;
}

/** Dates that stand in an order that the work does not have. All are warnings: there can be a reason. */
export function checkDateOrder(tables: Tables): Problem[] {
  const rows = sessionRows(tables.sessions);
  return [
    ...beforeConsent(tables, rows),
    ...beforeAssignment(tables, rows),
    ...phasesOutOfOrder(tables, rows),
  ];
}

interface SessionDate {
  readonly line: number;
  readonly golfer: string;
  readonly date: string;
  readonly phase: string;
}

function sessionRows(sessions: Table<'sessions'>): SessionDate[] {
  const [golfer, date, phase] = [sessions.text('golfer_id'), sessions.text('date'), sessions.text('phase')];
  const rows: SessionDate[] = [];
  for (let index = 0; index < sessions.length; index += 1)
    if (golfer[index] && isUsable(date[index]) && PHASES.includes(phase[index] as Phase))
      rows.push({
        line: sessions.line(index),
        golfer: golfer[index]!,
        date: date[index]!,
        phase: phase[index]!,
      });
  return rows;
}

function warning(row: SessionDate, found: string, expected: string, remedy: string): Problem {
  const at = {
    kind: 'date-order',
    severity: 'warning',
    table: 'sessions',
    row: row.line,
    column: 'date',
  } as const;
  return { ...at, found, expected, remedy };
}

function beforeConsent({ golfers }: Tables, rows: readonly SessionDate[]): Problem[] {
  const ids = golfers.text('golfer_id');
  const consent = new Map(golfers.text('consent_date').map((date, index) => [ids[index], date]));
  return rows.flatMap((row) => {
    const given = consent.get(row.golfer);
    if (!isUsable(given) || row.date >= given) return [];
    return [
      warning(
        row,
        row.date,
        `a date on or after ${given}, when ${row.golfer} gave consent`,
        'Correct the date, or leave out a session the golfer had not agreed to.',
      ),
    ];
  });
}

/** The first and last day each golfer was assigned, and whether the golfer ever changed arm. */
function assignmentsBy(assignments: Table<'assignments'>) {
  const golfer = assignments.text('golfer_id');
  const trial = assignments.text('trial_id');
  const date = assignments.text('assigned_on');
  const first = new Map<string, string>();
  const trials = new Set<string>();
  const changedArm = new Set<string>();
  for (let index = 0; index < assignments.length; index += 1) {
    const [who, on] = [golfer[index], date[index]];
    if (!who || !isUsable(on)) continue;
    const place = JSON.stringify([who, trial[index]]);
    if (trials.has(place)) changedArm.add(who);
    trials.add(place);
    const known = first.get(who);
    if (known === undefined || on < known) first.set(who, on);
  }
  return { first, changedArm };
}

function beforeAssignment({ assignments }: Tables, rows: readonly SessionDate[]): Problem[] {
  const { first } = assignmentsBy(assignments);
  return rows.flatMap((row) => {
    const assigned = first.get(row.golfer);
    if (!assigned || row.phase === 'baseline' || row.date >= assigned) return [];
    return [
      warning(
        row,
        `${row.phase} on ${row.date}`,
        `${row.phase} on or after ${assigned}, when ${row.golfer} was assigned to an arm`,
        'Correct the date or the phase here, or assigned_on in assignments.csv.',
      ),
    ];
  });
}

/** A later phase before an earlier one. Golfers who change arm go round the phases again and are left aside. */
function phasesOutOfOrder({ assignments }: Tables, rows: readonly SessionDate[]): Problem[] {
  const { changedArm } = assignmentsBy(assignments);
  const byGolfer = new Map<string, SessionDate[]>();
  for (const row of rows) {
    if (changedArm.has(row.golfer)) continue;
    const list = byGolfer.get(row.golfer);
    if (list === undefined) byGolfer.set(row.golfer, [row]);
    else list.push(row);
  }
  return [...byGolfer.values()].flatMap((list) =>
    list.flatMap((row) => {
      const rank = PHASES.indexOf(row.phase as Phase);
      const earlier = list.find(
        (other) => PHASES.indexOf(other.phase as Phase) < rank && other.date > row.date,
      );
      if (earlier === undefined) return [];
      return [
        warning(
          row,
          `${row.phase} on ${row.date}`,
          `${row.phase} after ${earlier.phase}; ${row.golfer} has ${earlier.phase} on ${earlier.date} (line ${earlier.line})`,
          'Check day and month, and the phase, of both sessions.',
        ),
      ];
    }),
  );
}
