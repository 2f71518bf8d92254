import type { Dataset, RowsInput } from '../../../src/dataset/index.ts';
import { createStream } from '../../../src/numerics/index.ts';

/**
 * An invented roster of 240 in two arms with three levels of consent, and in it, planted: a tall left-hander of seventy (R),
 * two minors, one with a guardian's consent; an instructor with two pupils; a device that three have used; golfers who
 * left early; and visits that no two golfers made on the same days.
 */
export function roster(): RowsInput {
  const random = createStream(8, 'share');
  const golfers: Record<string, unknown>[] = [];
  const sessions: Record<string, unknown>[] = [];
  const swings: Record<string, unknown>[] = [];
  const assignments: Record<string, unknown>[] = [];
  for (let g = 0; g < 240; g += 1) {
    const id = `G${String(g + 1).padStart(3, '0')}`;
    const isRare = g === 17;
    const isMinor = g === 30 || g === 31;
    golfers.push({
      golfer_id: id,
      plays: isRare || random.bernoulli(0.12) ? 'left' : 'right',
      handicap_index: isRare ? -3.1 : Math.round(random.normal(16, 5) * 10) / 10,
      age_band: isRare ? '70-79' : isMinor ? '12-15' : random.choice(['18-29', '30-39', '40-49', '50-59']),
      height_cm: isRare ? 203 : Math.round(random.normal(178, 6)),
      consent_scope:
        isRare || isMinor
          ? 'share'
          : random.choice(['coaching', 'study', 'study', 'share', 'share', 'share', 'none']),
      consent_date: '2026-01-05',
      consent_by: g === 31 ? 'guardian' : 'self',
    });
    assignments.push({
      golfer_id: id,
      trial_id: 'T1',
      arm: g % 2 === 0 ? 'drill' : 'control',
      assigned_on: '2026-03-02',
    });
    const phases = g % 40 === 3 ? ['baseline'] : ['baseline', 'training', 'post'];
    phases.forEach((phase, visit) => {
      const day = new Date(Date.UTC(2026, 1, 1) + 86_400_000 * (visit * 35 + random.integer(0, 27)));
      const session_id = `${id}-S${visit + 1}`;
      sessions.push({
        session_id,
        golfer_id: id,
        instructor_id: g === 50 || g === 51 ? 'I9' : `I${(g % 3) + 1}`,
        date: day.toISOString().slice(0, 10),
        phase,
        device: g >= 60 && g < 63 ? 'OLD' : g % 7 === 0 ? 'D2' : 'D1',
      });
      swings.push({
        swing_id: `${session_id}-1`,
        session_id,
        order_in_session: 1,
        task: 'full',
        club: 'iron-7',
        club_speed_mps: Math.round(random.normal(36, 2) * 100) / 100,
        time_of_day: `${String(8 + (g % 10)).padStart(2, '0')}:00:0${visit}`,
      });
    });
  }
  return { golfers, sessions, swings, assignments } as unknown as RowsInput;
}

export type Row = Readonly<Record<string, unknown>>;

/** What an export or a roster says of each golfer, in one row. */
export function people({ tables }: Dataset): Row[] {
  const arm = new Map(
    tables.assignments.column('golfer_id').map((g, r) => [g, tables.assignments.column('arm')[r]]),
  );
  const visits = new Map<string, { date: string; phase: string }[]>();
  const words = new Map<string, Set<string>>();
  for (const { golfer_id, date, phase, device, instructor_id } of tables.sessions.rows()) {
    visits.set(golfer_id, [...(visits.get(golfer_id) ?? []), { date, phase }]);
    const own = words.get(golfer_id) ?? new Set();
    words.set(golfer_id, own.add(`device ${device ?? ''}`).add(`instructor ${instructor_id ?? ''}`));
  }
  return [...tables.golfers.rows()].map((golfer) => ({
    ...golfer,
    arm: arm.get(golfer.golfer_id),
    visits: visits.get(golfer.golfer_id) ?? [],
    words: words.get(golfer.golfer_id) ?? new Set(),
  }));
}

/** How many there are of each combination of the attributes named. */
export function cells(rows: readonly Row[], ...attributes: readonly string[]): ReadonlyMap<string, number> {
  const counts = new Map<string, number>();
  for (const row of rows) {
    const cell = JSON.stringify(attributes.map((name) => row[name] ?? null));
    counts.set(cell, (counts.get(cell) ?? 0) + 1);
  }
  return counts;
}

export function smallest(counts: ReadonlyMap<string, number>): number {
  return Math.min(...[...counts.values()].filter((count) => count > 0));
}

/** What somebody may know of a golfer. */
export const QUASI = ['plays', 'age_band', 'handicap_index', 'height_cm', 'arm'] as const;
