import type { Dataset, Plan } from '../../dataset/index.ts';
import { type Covariate, covariateBySession } from '../shared/covariates.ts';
import type { RosterSession, RosterSwing } from '../shared/roster.ts';
import { count } from '../shared/words.ts';

/** A golfer before and after, and who taught. */
export interface Pupil {
  readonly golfer: string;
  readonly instructor: string;
  readonly before: number;
  readonly after: number;
  readonly swings: readonly string[];
  readonly sessions: readonly string[];
  /** By covariate. */
  readonly covariates: Readonly<Record<string, number | string | null>>;
}

export interface Pupils {
  readonly pupils: readonly Pupil[];
  /** Golfers who are not compared, each with the reason. */
  readonly outside: readonly { readonly id: string; readonly why: string }[];
  /** By instructor: pupils measured before, and of these those measured after. */
  readonly kept: ReadonlyMap<string, { readonly before: number; readonly after: number }>;
  /** Full swings of one session and golfer: their variance within sessions, for the noise of a pupil's mean. */
  readonly swingSd: number | null;
  readonly swingsInMean: number;
}

interface Source {
  readonly golfers: readonly string[];
  readonly sessions: readonly RosterSession[];
  readonly swings: readonly RosterSwing[];
}

/**
 * Each golfer with full swings before and after, and the instructor of most of his or her sessions since the start.
 * Who had two instructors equally often belongs to neither and is left out.
 */
export function gatherPupils(
  dataset: Dataset,
  { golfers, sessions, swings }: Source,
  plan: Plan | null,
  covariates: readonly Covariate[],
): Pupils {
  const before = plan?.phases?.before ?? 'baseline';
  const after = plan?.phases?.after ?? 'post';
  const sessionOf = new Map(sessions.map((session) => [session.session, session]));
  const adjusted = covariates.map((name) => [name, covariateBySession(dataset, name)] as const);
  const own = new Map(
    golfers.map((golfer) => [golfer, { before: [] as RosterSwing[], after: [] as RosterSwing[] }]),
  );
  for (const swing of swings) {
    const session = sessionOf.get(swing.session);
    if (session === undefined || swing.task !== 'full' || swing.value === null) continue;
    const cell = own.get(session.golfer);
    if (session.phase === before) cell?.before.push(swing);
    else if (session.phase === after) cell?.after.push(swing);
  }
  const teachers = teachersOf(sessions, before);
  const pupils: Pupil[] = [];
  const outside: { id: string; why: string }[] = [];
  const kept = new Map<string, { before: number; after: number }>();
  for (const [golfer, cell] of own) {
    const teacher = teachers.get(golfer) ?? null;
    if (cell.before.length > 0 && typeof teacher === 'string') {
      const seen = kept.get(teacher) ?? { before: 0, after: 0 };
      kept.set(teacher, { before: seen.before + 1, after: seen.after + (cell.after.length > 0 ? 1 : 0) });
    }
    const why =
      cell.before.length === 0 || cell.after.length === 0
        ? `no full swing with a value ${cell.before.length === 0 ? (cell.after.length === 0 ? 'before or after' : 'before') : 'after'}`
        : teacher === null
          ? 'no instructor is written for the sessions'
          : typeof teacher === 'string'
            ? null
            : `taught equally often by ${teacher.join(' and ')}`;
    if (why !== null || typeof teacher !== 'string') {
      outside.push({ id: golfer, why: why ?? 'no instructor is written for the sessions' });
      continue;
    }
    const used = [...cell.before, ...cell.after];
    const last = cell.after.at(-1)!.session;
    pupils.push({
      golfer,
      instructor: teacher,
      before: meanOf(cell.before),
      after: meanOf(cell.after),
      swings: used.map(({ swing }) => swing),
      sessions: [...new Set(used.map(({ session }) => session))],
      covariates: Object.fromEntries(adjusted.map(([name, values]) => [name, values.get(last) ?? null])),
    });
  }
  return { pupils, outside, kept, ...noiseOf([...own.values()].map((cell) => cell.after)) };
}

/** By golfer, the instructor of most sessions after the start (of all, where there are none after), or those tied. */
function teachersOf(
  sessions: readonly RosterSession[],
  before: string,
): ReadonlyMap<string, string | readonly string[]> {
  const tally = new Map<string, Map<string, number>>();
  const hasLater = new Set(
    sessions.filter((row) => row.phase !== before && row.instructor !== null).map((row) => row.golfer),
  );
  for (const { golfer, instructor, phase } of sessions) {
    if (instructor === null || (hasLater.has(golfer) && phase === before)) continue;
    const own = tally.get(golfer) ?? new Map<string, number>();
    own.set(instructor, (own.get(instructor) ?? 0) + 1);
    tally.set(golfer, own);
  }
  return new Map(
    [...tally].map(([golfer, own]) => {
      const most = Math.max(...own.values());
      const first = [...own].filter(([, times]) => times === most).map(([name]) => name);
      return [golfer, first.length === 1 ? first[0]! : first.toSorted()];
    }),
  );
}

/** SD of swings within sessions, pooled, and how many swings a pupil's mean rests on. */
function noiseOf(cells: readonly (readonly RosterSwing[])[]): {
  swingSd: number | null;
  swingsInMean: number;
} {
  let squares = 0;
  let df = 0;
  let swings = 0;
  let golfers = 0;
  for (const cell of cells) {
    if (cell.length === 0) continue;
    golfers += 1;
    swings += cell.length;
    const bySession = new Map<string, number[]>();
    for (const { session, value } of cell)
      bySession.set(session, [...(bySession.get(session) ?? []), value!]);
    for (const values of bySession.values()) {
      const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
      squares += values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
      df += values.length - 1;
    }
  }
  return {
    swingSd: df === 0 ? null : Math.sqrt(squares / df),
    swingsInMean: golfers === 0 ? 0 : swings / golfers,
  };
}

function meanOf(swings: readonly RosterSwing[]): number {
  return swings.reduce((sum, { value }) => sum + value!, 0) / swings.length;
}

/** `12 pupils of 3 instructors`. */
export function pupilsInWords(pupils: readonly Pupil[]): string {
  return `${count(pupils.length, 'pupil')} of ${count(new Set(pupils.map((pupil) => pupil.instructor)).size, 'instructor')}`;
}
