import type { Dataset, Plan } from '../../dataset/index.ts';
import type { Fit, Model } from '../../stats/index.ts';
import { attempt } from '../drill-trial/analysis/cell-model.ts';
import { applyExclusions } from '../shared/exclusions.ts';
import { rosterSessions, rosterSwings } from '../shared/roster.ts';
import { count } from '../shared/words.ts';
import type { StudyProblem } from '../study.ts';
import type { Spread } from './planned-design.ts';

export interface Pilot {
  readonly spread: Spread;
  readonly golfers: number;
  readonly words: string;
  readonly cautions: readonly string[];
}

const ENOUGH_GOLFERS = 6;
const ENOUGH_DAYS = 3;

/**
 * How values spread in data that are there already: full swings at the start, and after where golfers have both, by the
 * same model as the drill trial's (each arm with a mean of its own after). What golfers get out of a drill cannot be
 * told from how they change anyway, and is in `changeSd`.
 */
export function pilotSpread(
  dataset: Dataset,
  column: string,
  plan: Plan | null,
): Pilot | { readonly problems: readonly StudyProblem[] } {
  const { before = 'baseline', after = 'post' } = plan?.phases ?? {};
  const data = {
    golfers: dataset.tables.golfers.column('golfer_id').map((id) => id ?? ''),
    sessions: rosterSessions(dataset),
    swings: rosterSwings(dataset, column),
  };
  const excluded = applyExclusions(data, plan, dataset);
  if (excluded.problems.length > 0) return { problems: excluded.problems };
  const sessionOf = new Map(excluded.data.sessions.map((session) => [session.session, session]));
  const rows = excluded.data.swings.flatMap(({ session, task, value }) => {
    const own = sessionOf.get(session);
    if (own === undefined || task !== 'full' || value === null) return [];
    return own.phase === before || own.phase === after ? [{ ...own, value }] : [];
  });
  const golfers = new Set(rows.map(({ golfer }) => golfer));
  const inPhase = (phase: string) =>
    new Set(rows.filter((row) => row.phase === phase).map(({ golfer }) => golfer));
  const both = [...inPhase(before)].filter((golfer) => inPhase(after).has(golfer));
  const whole = both.length >= ENOUGH_GOLFERS;
  const kept = whole ? rows : rows.filter(({ phase }) => phase === before);
  const problem = tooThin(kept, column, before);
  if (problem !== null) return { problems: [problem] };
  const days = new Map<string, Set<string>>();
  for (const { golfer, phase, session } of kept) {
    const key = JSON.stringify([golfer, phase]);
    days.set(key, (days.get(key) ?? new Set()).add(session));
  }
  const daysApart = [...days.values()].filter((own) => own.size > 1).length >= ENOUGH_DAYS;
  const made = fitPilot(kept, whole, daysApart, armsOf(dataset), after);
  if (typeof made === 'string')
    return {
      problems: [
        {
          where: `swings.csv, ${column}`,
          found: `values from which the spread cannot be estimated: ${made}`,
          expected: `full swings of ${ENOUGH_GOLFERS} or more golfers, several to a session`,
          remedy: 'Measure more golfers, or plan from a recipe.',
        },
      ],
    };
  return {
    spread: made,
    golfers: golfers.size,
    words: `SDs estimated from ${count(golfers.size, 'golfer')} with ${count(kept.length, 'full swing')} in the data given${whole ? `, ${both.length} of them before and after` : ', before only'}.`,
    cautions: [
      `The SDs come from ${count(golfers.size, 'golfer')}: with so few they are known roughly, and the number of golfers goes with their square. Take more than the least.`,
      ...(whole
        ? []
        : [
            'No golfer, or too few, was measured both before and after, so how golfers change of themselves is not known; it was taken as nothing unless another value was given.',
          ]),
      ...(daysApart
        ? []
        : [
            'Each golfer has one session in a phase, so that what a day does cannot be told from what the golfer does; what several sessions would gain is a guess that puts all of it down to days.',
          ]),
    ],
  };
}

interface Row {
  readonly golfer: string;
  readonly session: string;
  readonly phase: string;
  readonly value: number;
}

function tooThin(rows: readonly Row[], column: string, before: string): StudyProblem | null {
  const golfers = new Set(rows.map(({ golfer }) => golfer)).size;
  const sessions = new Set(rows.map(({ session }) => session)).size;
  const constant = rows.every(({ value }) => value === rows[0]?.value);
  if (golfers >= ENOUGH_GOLFERS && rows.length > sessions && !constant) return null;
  return {
    where: `swings.csv, ${column}`,
    found:
      constant && rows.length > 1
        ? 'one and the same value in every swing'
        : `${count(rows.length, 'full swing')} of ${count(golfers, 'golfer')} in the phase ${before}`,
    expected: `full swings of ${ENOUGH_GOLFERS} or more golfers, several to a session`,
    remedy: 'Measure more golfers, or plan from a recipe.',
  };
}

function armsOf({ tables }: Dataset): ReadonlyMap<string, string> {
  const arms = tables.assignments.column('arm');
  return new Map(
    tables.assignments.column('golfer_id').map((golfer, row) => [golfer ?? '', arms[row] ?? '']),
  );
}

function fitPilot(
  rows: readonly Row[],
  whole: boolean,
  daysApart: boolean,
  armOf: ReadonlyMap<string, string>,
  after: string,
): Spread | string {
  const isAfter = (row: Row) => Number(row.phase === after);
  const arms = [...new Set(rows.map(({ golfer }) => armOf.get(golfer) ?? 'none'))].sort();
  const others = whole ? arms.slice(1) : [];
  const data = {
    value: rows.map(({ value }) => value),
    golfer_id: rows.map(({ golfer }) => golfer),
    session_id: rows.map(({ session }) => session),
    before: rows.map((row) => 1 - isAfter(row)),
    after: rows.map(isAfter),
    ...Object.fromEntries(
      others.map((arm, k) => [
        `arm ${k}`,
        rows.map((row) => ((armOf.get(row.golfer) ?? 'none') === arm ? isAfter(row) : 0)),
      ]),
    ),
  };
  const model: Model = {
    outcome: 'value',
    distribution: 'normal',
    fixed: [
      'intercept',
      ...(whole ? [{ column: 'after' }] : []),
      ...others.map((_, k) => ({ column: `arm ${k}` })),
    ],
    random: [
      whole
        ? { group: 'golfer_id', effects: ['before', 'after'], covariance: 'full' }
        : { group: 'golfer_id', effects: ['intercept'] },
      ...(daysApart ? [{ group: ['golfer_id', 'session_id'], effects: ['intercept' as const] }] : []),
    ],
    criterion: 'reml',
  };
  const fit = attempt(model, data);
  return typeof fit === 'string' ? fit : spreadOf(fit, whole, daysApart);
}

/** With one session in a phase, what golfers' two levels do not share is put down to the day. */
function spreadOf({ result }: Fit, whole: boolean, daysApart: boolean): Spread {
  const [golfer, session] = result.random;
  const swingSd = result.residualSd;
  const sessionSd = daysApart ? session!.sd[0]! : 0;
  if (!whole) return { golferSd: golfer!.sd[0]!, changeSd: 0, responseSd: 0, sessionSd, swingSd };
  const [before, after] = golfer!.sd as [number, number];
  const shared = golfer!.correlation[1]![0]! * before * after;
  const apart = Math.max(0, before ** 2 + after ** 2 - 2 * shared);
  return {
    golferSd: Math.sqrt(Math.max(0, daysApart ? before ** 2 : shared)),
    changeSd: daysApart ? Math.sqrt(apart) : 0,
    responseSd: 0,
    sessionSd: daysApart ? sessionSd : Math.sqrt(apart / 2),
    swingSd,
  };
}
