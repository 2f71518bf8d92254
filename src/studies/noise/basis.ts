import { lowerMedian } from '../../numerics/index.ts';
import type { NoiseTables } from '../noise-tables.ts';
import type { NoiseData, NoiseRow } from './noise-data.ts';

/** The rows that tell how noisy the number is, and why these. */
export interface Basis {
  readonly kind: NoiseTables['basis'];
  readonly rows: readonly (NoiseRow & { readonly value: number })[];
  /** What sessions share besides the golfer, taken out first; absent where nothing is. */
  readonly shared?: (session: string) => string;
  readonly device: string;
  /** In words: what was taken, and what the session part then holds. */
  readonly words: string;
  /** Why a full swing with a value is not among the rows. */
  readonly outside: string;
  /** Sessions that a golfer has at one time (one phase), and swings in a session, in the middle. */
  readonly sessionsAtATime: number;
  readonly swingsInASession: number;
}

type Valued = NoiseRow & { readonly value: number };

/** Fewest degrees of freedom between sessions from which their noise is told. */
const ENOUGH = 3;

/**
 * The most trustworthy repeats there are: sessions of one phase (training left out, since it teaches), where nothing
 * was taught in between; else sessions of golfers without the drill; else all sessions, in which what golfers learned is
 * counted as noise; else swings alone. Of several devices, the one with most sessions (the first of equals).
 */
export function chooseBasis(data: Pick<NoiseData, 'swings' | 'arms' | 'controls'>): Basis {
  const full = data.swings.filter((row): row is Valued => row.task === 'full' && row.value !== null);
  const device = mostSessions(full);
  const own = full.filter((row) => row.device === device);
  const atATime = {
    sessionsAtATime: lowerMedian(countsOf(own, (row) => JSON.stringify([row.golfer, row.phase]))) ?? 1,
    swingsInASession: lowerMedian(swingsOf(own)) ?? 1,
  };
  const phases = (['baseline', 'post', 'retention'] as const)
    .map((phase) => ({ phase, rows: own.filter((row) => row.phase === phase) }))
    .map((entry) => ({ ...entry, df: repeats(entry.rows) }));
  const best = phases.reduce((a, b) => (b.df > a.df ? b : a));
  if (best.df >= ENOUGH)
    return {
      kind: 'repeats',
      rows: best.rows,
      device,
      words: `the ${best.phase} sessions, several to a golfer with nothing taught between them`,
      outside: `not in the ${best.phase} sessions, which tell the noise`,
      sessionsAtATime: lowerMedian(countsOf(best.rows, (row) => row.golfer)) ?? 1,
      swingsInASession: lowerMedian(swingsOf(best.rows)) ?? 1,
    };
  const label = (row: NoiseRow) => row.phase;
  const untaught = own.filter((row) => data.controls.has(data.arms.get(row.golfer) ?? ''));
  if (repeats(untaught) - new Set(untaught.map(label)).size >= ENOUGH)
    return {
      kind: 'untaught',
      rows: untaught,
      shared: labelled(untaught, label),
      device,
      words:
        'the sessions of golfers without the drill, from phase to phase, what all of them changed by taken out; weeks lie between their sessions, so that slow drift is in the noise',
      outside: 'by a golfer who was taught between sessions',
      ...atATime,
    };
  const withArm = (row: NoiseRow) => `${row.phase} ${data.arms.get(row.golfer) ?? ''}`;
  if (repeats(own) - new Set(own.map(withArm)).size >= ENOUGH)
    return {
      kind: 'all',
      rows: own,
      shared: labelled(own, withArm),
      device,
      words:
        'all sessions, from phase to phase, what each arm changed by on average taken out; what single golfers learned beyond that is counted as noise',
      outside: '',
      ...atATime,
    };
  const first = phases.find(({ rows }) => rows.length > 0) ?? { phase: 'training', rows: own };
  return {
    kind: first.rows.length === 0 ? 'none' : 'one-session',
    rows: first.rows,
    device,
    words: `the ${first.phase} sessions, too few of them to a golfer to tell how sessions differ`,
    outside: `not in the ${first.phase} sessions, which tell the noise`,
    ...atATime,
    sessionsAtATime: 1,
  };
}

/** Degrees of freedom between the sessions of golfers. */
function repeats(rows: readonly NoiseRow[]): number {
  return countsOf(rows, (row) => row.golfer).reduce((sum, count) => sum + count - 1, 0);
}

/** How many sessions each key has. */
function countsOf(rows: readonly NoiseRow[], key: (row: NoiseRow) => string): number[] {
  const own = new Map<string, Set<string>>();
  for (const row of rows) own.set(key(row), (own.get(key(row)) ?? new Set()).add(row.session));
  return [...own.values()].map((sessions) => sessions.size);
}

function swingsOf(rows: readonly NoiseRow[]): number[] {
  const own = new Map<string, number>();
  for (const { session } of rows) own.set(session, (own.get(session) ?? 0) + 1);
  return [...own.values()];
}

function labelled(rows: readonly NoiseRow[], label: (row: NoiseRow) => string): (session: string) => string {
  const labels = new Map(rows.map((row) => [row.session, label(row)]));
  return (session) => labels.get(session) ?? '';
}

/** The device with most sessions, the first to come among equals. */
function mostSessions(rows: readonly NoiseRow[]): string {
  const sessions = new Map<string, Set<string>>();
  for (const { device, session } of rows)
    sessions.set(device, (sessions.get(device) ?? new Set()).add(session));
  return [...sessions].sort(([, a], [, b]) => b.size - a.size)[0]?.[0] ?? '';
}
