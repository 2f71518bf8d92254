import { readFileSync } from 'node:fs';
import type { Dataset, RowsInput } from '../../src/dataset/index.ts';
import { datasetOf } from './simulate.ts';

function csv(name: string): Record<string, string>[] {
  const text = readFileSync(new URL(`../reference/repeated/${name}`, import.meta.url), 'utf8');
  const [header, ...lines] = text.trim().split('\n');
  const columns = header!.replaceAll('"', '').split(',');
  return lines.map((line) => {
    const cells = line.replaceAll('"', '').split(',');
    return Object.fromEntries(columns.map((column, i) => [column, cells[i]!]));
  });
}

/** One of the invented trials of small_trials.csv (drawn by small_trials.py) as a dataset. */
export function smallTrial(design: 'parallel' | 'crossover' | 'stepped-start'): Dataset {
  const rows = csv('small_trials.csv').filter((row) => row.design === design);
  const golfers = [...new Set(rows.map((row) => row.golfer!))];
  const sessions = new Map(rows.map((row) => [row.session!, row]));
  const order = new Map<string, number>();
  return datasetOf({
    golfers: golfers.map((golfer_id) => ({ golfer_id, plays: 'right' })),
    sessions: [...sessions.values()].map((row) => ({
      session_id: row.session!,
      golfer_id: row.golfer!,
      date: row.date!,
      phase: row.phase as 'post',
    })),
    swings: rows.map((row, i) => {
      const place = (order.get(row.session!) ?? 0) + 1;
      order.set(row.session!, place);
      return {
        swing_id: `S${i + 1}`,
        session_id: row.session!,
        order_in_session: place,
        task: row.task as 'full',
        shaft_lean_impact_deg: Number(row.value),
      };
    }),
    assignments: golfers.flatMap((golfer) => assignmentsOf(design, golfer, rows)),
  });
}

function assignmentsOf(design: string, golfer: string, rows: readonly Record<string, string>[]) {
  const own = rows.filter((row) => row.golfer === golfer);
  const assigned = (arm: string, assigned_on: string) => ({
    golfer_id: golfer,
    trial_id: 'T',
    arm,
    assigned_on,
  });
  if (design === 'parallel') return [assigned(own[0]!.arm!, '2026-03-20')];
  if (design === 'stepped-start') return [assigned('drill', `2026-0${Number(own[0]!.period) + 3}-01`)];
  const armIn = (period: string) => own.find((row) => row.period === period)!.arm!;
  return [assigned(armIn('1'), '2026-03-10'), assigned(armIn('2'), '2026-04-10')];
}

/**
 * The published before/after trial of two treatments and a control (Hand, Daly, McConway, Lunn and Ostrowski 1993,
 * A Handbook of Small Data Sets, set 285), mapped onto the tables: a person is a golfer, the two weights are two
 * single swings, and the weights stand in a column whose limits hold them.
 */
export function anorexiaTrial(): Dataset {
  const people = csv('mass_anorexia.csv');
  const id = (i: number) => `A${String(i + 1).padStart(2, '0')}`;
  const visits = people.flatMap((person, i) => [
    { golfer: id(i), phase: 'baseline' as const, date: '2026-01-05', value: Number(person.Prewt) },
    { golfer: id(i), phase: 'post' as const, date: '2026-03-05', value: Number(person.Postwt) },
  ]);
  return onePerPhase(
    visits,
    people.map((person, i) => ({ golfer_id: id(i), arm: person.Treat! })),
  );
}

/** Student's sleep data (1908): hours gained under drug 1 (as before) and drug 2 (as after) by ten patients. */
export function sleepTrial(): Dataset {
  const rows = csv('student_sleep.csv');
  const visits = rows.map((row) => ({
    golfer: `P${row.ID!.padStart(2, '0')}`,
    phase: row.group === '1' ? ('baseline' as const) : ('post' as const),
    date: row.group === '1' ? '2026-01-05' : '2026-03-05',
    value: Number(row.extra),
  }));
  const golfers = [...new Set(visits.map((visit) => visit.golfer))];
  return onePerPhase(
    visits,
    golfers.map((golfer_id) => ({ golfer_id, arm: 'drill' })),
    'shaft_lean_impact_deg',
  );
}

function onePerPhase(
  visits: readonly { golfer: string; phase: 'baseline' | 'post'; date: string; value: number }[],
  golfers: readonly { golfer_id: string; arm: string }[],
  column: 'trail_elbow_flexion_top_deg' | 'shaft_lean_impact_deg' = 'trail_elbow_flexion_top_deg',
): Dataset {
  const session = (visit: (typeof visits)[number]) => `${visit.golfer}-${visit.phase}`;
  const rows: RowsInput = {
    golfers: golfers.map(({ golfer_id }) => ({ golfer_id, plays: 'right' })),
    sessions: visits.map((visit) => ({
      session_id: session(visit),
      golfer_id: visit.golfer,
      date: visit.date,
      phase: visit.phase,
    })),
    swings: visits.map((visit) => ({
      swing_id: `${session(visit)}-1`,
      session_id: session(visit),
      order_in_session: 1,
      task: 'full' as const,
      [column]: visit.value,
    })),
    assignments: golfers.map((golfer) => ({ ...golfer, trial_id: 'T', assigned_on: '2026-01-06' })),
  };
  return datasetOf(rows);
}
