import { joinByTime, TooManyMoments } from './join-by-time.ts';
import { clockOf, offsetOn } from './join-clock.ts';
import { type Join, type Joinable, type Match, visitOf, visitsOf } from './join-rows.ts';
import { momentsOf } from './swing-moments.ts';
import type { Tables, Taken } from './take-rows.ts';

/** Seconds that two times of one swing may differ by, where the mapping does not say. */
const TOLERANCE_S = 5;

export interface Moment<Item> {
  readonly item: Item;
  readonly date: string;
  /** Seconds; days are counted, so that a visit may go on past midnight. */
  readonly at: number;
}

/** The moments of one golfer, by the sheet's clock and by the dataset's, each in rising order. */
export interface GolferMoments {
  readonly golfer: string;
  readonly sheet: readonly Moment<Joinable>[];
  readonly there: readonly Moment<number>[];
}

/**
 * Finds the swing of each row by golfer and time: as many pairs as can be, none further apart than the tolerance, order
 * kept. What is to be added to the sheet's clock comes from the mapping, or is found from the times themselves and said; where
 * the times leave it open, or speak against none, the import asks.
 */
export function joinInTime(
  join: Join,
  rows: readonly Joinable[],
  tables: Tables,
  taken: Taken,
): readonly Match[] {
  const tolerance = join.tolerance_s ?? TOLERANCE_S;
  const golfers = momentsByGolfer(rows, tables, taken);
  const clock = clockOf(join, golfers, tolerance);
  if ('problem' in clock) {
    taken.problems.push(clock.problem);
    return [];
  }
  taken.clock = clock.said;
  const matches: Match[] = [];
  for (const { golfer, sheet, there } of golfers) {
    const moments = sheet.map(({ at, date }) => at + offsetOn(date, clock.offsets));
    try {
      const pairs = joinByTime(
        moments,
        there.map(({ at }) => at),
        tolerance,
      );
      const swingOf = new Map(pairs.map(({ left, right }) => [left, right]));
      const rowOf = new Map(pairs.map(({ left, right }) => [right, left]));
      sheet.forEach(({ item: one, date }, index) => {
        const swing = there[swingOf.get(index) ?? -1];
        if (swing !== undefined)
          matches.push({
            one,
            row: swing.item,
            secondsApart: thousandths(Math.abs(moments[index]! - swing.at)),
          });
        else taken.leftOut.push({ line: one.line, why: whyAlone(moments[index]!, date) });
      });
      function whyAlone(moment: number, date: string): string {
        const nearest = there.reduce(
          (best, { at }, index) =>
            best < 0 || Math.abs(at - moment) < Math.abs(there[best]!.at - moment) ? index : best,
          -1,
        );
        const swing = there[nearest];
        const day = Math.floor(moment / 86_400);
        if (swing === undefined || !there.some(({ at }) => Math.abs(Math.floor(at / 86_400) - day) <= 1))
          return `the dataset has no swing with a time for ${golfer} on ${date}`;
        const id = tables.get('swings')!.get(swing.item, 'swing_id');
        const gap = Math.abs(swing.at - moment);
        const other = sheet[rowOf.get(nearest) ?? -1];
        if (gap <= tolerance && other !== undefined)
          return `the swing ${id}, ${thousandths(gap)} s from it, went to line ${other.item.line}`;
        return `no swing of the dataset is within ${tolerance} s of it; ${id} is nearest, ${thousandths(gap)} s away`;
      }
    } catch (error) {
      if (!(error instanceof TooManyMoments)) throw error;
      taken.problems.push({
        where: 'mapping /join',
        found: `more swings of ${golfer} within ${tolerance} s of one another than can be weighed`,
        expected: 'a tolerance shorter than the pause between two swings',
        remedy: 'Write a smaller tolerance_s, or join by swing_id.',
      });
    }
  }
  return matches;
}

const thousandths = (seconds: number): number => Math.round(seconds * 1000) / 1000;

function momentsByGolfer(rows: readonly Joinable[], tables: Tables, taken: Taken): readonly GolferMoments[] {
  const sheet = new Map<string, Moment<Joinable>[]>();
  for (const list of groups(rows, (one) => JSON.stringify(visitOf(one)))) {
    const timed = list.flatMap((one) => {
      const { golfer, date, time } = one;
      const lacks = time === '' ? 'time of day' : date === null ? 'date' : null;
      if (lacks !== null) taken.leftOut.push({ line: one.line, why: `it has no ${lacks} to be joined by` });
      return lacks !== null || date === null ? [] : [{ item: one, golfer: golfer ?? '', date, time }];
    });
    addMoments(sheet, timed);
  }
  const [sessions, swings] = [tables.get('sessions')!, tables.get('swings')!];
  const visits = visitsOf(sessions);
  const timed = Array.from({ length: swings.firstNew }, (_, row) => row).flatMap((row) => {
    const [time, session] = [swings.get(row, 'time_of_day'), swings.get(row, 'session_id')];
    const visit = visits.get(session);
    const order = Number(swings.get(row, 'order_in_session'));
    return time === '' || visit === undefined ? [] : [{ item: row, session, order, time, ...visit }];
  });
  const there = new Map<string, Moment<number>[]>();
  for (const list of groups(timed, ({ session }) => session))
    addMoments(
      there,
      list.sort((a, b) => a.order - b.order),
    );
  return [...sheet].map(([golfer, moments]) => ({
    golfer,
    sheet: inTime(moments),
    there: inTime(there.get(golfer) ?? []),
  }));
}

/** Adds the swings of one visit, in the order in which they were made. */
function addMoments<Item>(
  to: Map<string, Moment<Item>[]>,
  visit: readonly {
    readonly item: Item;
    readonly golfer: string;
    readonly date: string;
    readonly time: string;
  }[],
): void {
  momentsOf(visit).forEach((at, index) => {
    const { item, golfer, date } = visit[index]!;
    const list = to.get(golfer) ?? [];
    to.set(golfer, list);
    if (Number.isFinite(at)) list.push({ item, date, at });
  });
}

const inTime = <Item>(moments: readonly Moment<Item>[]) => [...moments].sort((a, b) => a.at - b.at);

function groups<Item>(items: readonly Item[], keyOf: (item: Item) => string): Item[][] {
  const lists = new Map<string, Item[]>();
  for (const item of items) {
    const key = keyOf(item);
    const list = lists.get(key);
    if (list === undefined) lists.set(key, [item]);
    else list.push(item);
  }
  return [...lists.values()];
}
