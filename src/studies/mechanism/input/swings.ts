import type { Dataset, Plan } from '../../../dataset/index.ts';
import { applyExclusions, type Excluded, type Listed } from '../../shared/exclusions.ts';
import type { CountedLeftOut } from '../../shared/left-out.ts';
import {
  numbersOrMissing,
  type Phase,
  type RosterSession,
  type RosterSwing,
  rosterSessions,
  rosterSwings,
} from '../../shared/roster.ts';
import { STRIKES, TURNS } from './columns.ts';
import type { Swings } from './summed-swings.ts';

/** One full swing with all that the question may need; null where it is missing. */
export interface MechanismSwing {
  readonly swing: string;
  readonly session: string;
  readonly golfer: string;
  readonly phase: Phase;
  readonly device: string | null;
  readonly order: number | null;
  readonly club: string | null;
  readonly intent: number | null;
  readonly values: Readonly<Record<string, number | null>>;
  /** Stated measurement SDs of the values, by the same column. */
  readonly errors: Readonly<Record<string, number | null>>;
}

export interface MechanismData {
  readonly golfers: readonly string[];
  readonly sessions: readonly RosterSession[];
  readonly swings: readonly RosterSwing[];
}

export interface Extracted {
  readonly excluded: Excluded<MechanismData>;
  /** Full swings that stay, in the order of the file. */
  readonly full: readonly MechanismSwing[];
  /** Why each swing that is not among `full` is left out. */
  readonly leftOut: readonly { readonly id: string; readonly why: string }[];
}

/** The swings that the question is put to, and how many are left out of it, and why. */
export interface Asked {
  readonly swings: Swings;
  readonly golfers: readonly Listed[];
  readonly sessions: readonly Listed[];
  readonly leftOut: readonly CountedLeftOut[];
}

/** The full swings of a dataset with the columns asked for and all that may be held or end the chain. */
export function extractSwings(dataset: Dataset, plan: Plan | null, columns: readonly string[]): Extracted {
  const all = [...new Set([...columns, ...STRIKES, ...TURNS])];
  const { swings } = dataset.tables;
  const excluded = applyExclusions(
    {
      golfers: dataset.tables.golfers.column('golfer_id').map((golfer) => golfer ?? ''),
      sessions: rosterSessions(dataset),
      swings: rosterSwings(dataset, columns[0]!),
    },
    plan,
    dataset,
  );
  const kept = new Set(excluded.data.swings.map(({ swing }) => swing));
  const session = new Map(excluded.data.sessions.map((row) => [row.session, row]));
  const values = all.map((column) => numbersOrMissing(dataset, column));
  const errors = all.map((column) => numbersOrMissing(dataset, `${column}_sd`));
  const orders = numbersOrMissing(dataset, 'order_in_session');
  const intents = numbersOrMissing(dataset, 'speed_intent_pct');
  const clubs = swings.has('club') ? swings.text('club') : [];
  const full: MechanismSwing[] = [];
  const leftOut: { id: string; why: string }[] = [...excluded.swings];
  rosterSwings(dataset, columns[0]!).forEach((row, i) => {
    if (!kept.has(row.swing)) return;
    const visit = session.get(row.session);
    if (visit === undefined) {
      leftOut.push({ id: row.swing, why: 'its session is not in sessions.csv' });
      return;
    }
    if (row.task !== 'full') {
      leftOut.push({ id: row.swing, why: 'not a full swing' });
      return;
    }
    full.push({
      swing: row.swing,
      session: row.session,
      golfer: visit.golfer,
      phase: visit.phase,
      device: visit.device,
      order: orders[i] ?? null,
      club: clubs[i] ?? null,
      intent: intents[i] ?? null,
      values: Object.fromEntries(all.map((column, c) => [column, values[c]![i] ?? null])),
      errors: Object.fromEntries(all.map((column, c) => [column, errors[c]![i] ?? null])),
    });
  });
  return { excluded, full, leftOut };
}
