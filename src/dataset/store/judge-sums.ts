import type { Problem } from '../problem.ts';
import { numberLimits, rangeWords } from '../read/number-limits.ts';
import { tableSchema } from '../schema.ts';
import type { Table } from '../table.ts';
import type { SwingCells } from './summed-cells.ts';
import type { SwingSums } from './summed-swings.ts';

type Range = readonly [number, number];

/**
 * What the sums of the swings tell of what `loadDataset` would find in each: sessions that are not in sessions.csv and values
 * that are not possible are errors, values that are seldom right are warnings. A problem stands for all swings of its kind.
 */
export function judgeSums({ column, groups }: SwingSums, sessions: Table<'sessions'>): Problem[] {
  const swingsOf = (g: number) => groups.count[g]! + groups.missing[g]!;
  return [...sessionProblems(groups.session, swingsOf, sessions), ...rangeProblems(column, groups)];
}

/** The same of sums of sets of columns: every column of numbers is judged, by its least and most of all swings. */
export function judgeCells(
  { sessions: ids, tallies, ends }: SwingCells,
  sessions: Table<'sessions'>,
): Problem[] {
  const swingsOf = (g: number) => tallies.full[g]! + tallies.other[g]!;
  return [
    ...sessionProblems(
      ids.map((id) => (id === '' ? null : id)),
      swingsOf,
      sessions,
    ),
    ...[...ends].flatMap(([column, [least, most]]) =>
      rangeProblems(column, { session: [null], least: [least], most: [most] }),
    ),
  ];
}

/** Least and most of a column in each session, or in all (session null); NaN where it has no value. */
interface Ends {
  readonly session: readonly (string | null)[];
  readonly least: ArrayLike<number>;
  readonly most: ArrayLike<number>;
}

function sessionProblems(
  ids: readonly (string | null)[],
  swingsOf: (g: number) => number,
  sessions: Table<'sessions'>,
): Problem[] {
  const known = new Set(sessions.text('session_id'));
  const without = new Tally();
  const unknown = new Tally();
  ids.forEach((session, g) => {
    if (session === null) without.add('', swingsOf(g));
    else if (!known.has(session)) unknown.add(session, swingsOf(g));
  });
  return [
    ...without.problem(({ swings }) => ({
      kind: 'missing-value',
      severity: 'error',
      column: 'session_id',
      found: `an empty cell in ${swings} swings`,
      expected: 'a session_id for every swing',
      remedy: 'Fill in the session, and pack the dataset again.',
    })),
    ...unknown.problem(({ first, groups: sessionsOff, swings }) => ({
      kind: 'unknown-key',
      severity: 'error',
      column: 'session_id',
      found: `${first}${sessionsOff > 1 ? `, and ${sessionsOff - 1} more sessions` : ''}, in ${swings} swings`,
      expected: 'a session_id that stands in sessions.csv',
      remedy: 'Correct the id, or add a row for it to sessions.csv.',
    })),
  ];
}

function rangeProblems(column: string, groups: Ends): Problem[] {
  const field = tableSchema('swings').fields.find(({ name }) => name === column);
  if (field === undefined || (field.type !== 'number' && field.type !== 'integer')) return [];
  const { possible, plausible, unit } = numberLimits(field);
  const impossible = new Tally();
  const seldom = new Tally();
  groups.session.forEach((session, g) => {
    const [low, high] = [groups.least[g]!, groups.most[g]!];
    const off = outside(low, high, possible);
    const odd = off ?? outside(low, high, plausible);
    if (odd !== null)
      (off === null ? seldom : impossible).add(
        session === null ? `${odd}` : `${odd} in session ${session}`,
        1,
      );
  });
  const said = (tally: Tally, severity: Problem['severity'], expected: string) =>
    tally.problem(({ first, groups: sessions }) => ({
      kind: 'out-of-range',
      severity,
      column,
      found: `${first}${sessions > 1 ? `, and values of ${sessions - 1} more sessions` : ''}`,
      expected,
      remedy:
        severity === 'error'
          ? 'Correct the value, or leave the cell empty, and pack the dataset again.'
          : 'Check the value and its unit; values that are right may stay.',
    }));
  return [
    ...said(impossible, 'error', rangeWords(possible, unit)),
    ...said(seldom, 'warning', `${rangeWords(plausible, unit)} as a rule`),
  ];
}

/** The end of a stretch that lies outside a closed range; null where neither does, or where there is no value. */
function outside(least: number, most: number, [low, high]: Range): number | null {
  if (least < low) return least;
  return most > high ? most : null;
}

/** Groups of swings with one fault: the first of them, how many they are, and how many swings they have. */
class Tally {
  private first = '';
  private groups = 0;
  private swings = 0;

  add(what: string, swings: number): void {
    if (this.groups === 0) this.first = what;
    this.groups += 1;
    this.swings += swings;
  }

  problem(
    words: (found: { first: string; groups: number; swings: number }) => Omit<Problem, 'table' | 'row'>,
  ): Problem[] {
    const { first, groups, swings } = this;
    return groups === 0 ? [] : [{ table: 'swings', row: null, ...words({ first, groups, swings }) }];
  }
}
