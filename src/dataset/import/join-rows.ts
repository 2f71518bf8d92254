import type { TableName } from '../generated/rows.ts';
import type { GrowingTable, RowValues } from './growing-table.ts';
import { joinById } from './join-by-id.ts';
import { joinInTime } from './join-in-time.ts';
import type { Mapping } from './mapping.ts';
import type { Tables, Taken } from './take-rows.ts';

export type Join = NonNullable<Mapping['join']>;

/** A row of the sheet that looks for its swing; there may be a million, so it holds no more than the join takes. */
export interface Joinable extends Visit {
  readonly line: number;
  /** '' where the sheet does not say, as the time of day. */
  readonly id: string;
  readonly time: string;
  /** What it has for the swing: column, text, column, text, ... */
  readonly cells: readonly string[];
}

/** The swing of the dataset that a row was found to be. */
export interface Match {
  readonly one: Joinable;
  /** Place in the table of swings. */
  readonly row: number;
  readonly secondsApart: number | null;
}

/** Whose swing it is and on which day: null where the sheet does not say. */
export interface Visit {
  readonly golfer: string | null;
  readonly date: string | null;
}

/** What of a row is joined. */
export function joinable(line: number, values: ReadonlyMap<TableName, RowValues>): Joinable {
  const session = values.get('sessions');
  const swing = values.get('swings');
  const cells: string[] = [];
  for (const [column, text] of swing ?? [])
    if (text !== '' && !NOT_JOINED.has(column)) cells.push(column, text);
  return {
    line,
    golfer: session?.get('golfer_id') || null,
    date: session?.get('date') || null,
    id: swing?.get('swing_id') ?? '',
    time: swing?.get('time_of_day') ?? '',
    cells,
  };
}

/**
 * Puts the rows of the sheet beside the swings that the dataset has. Each swing takes one row and each row one swing; what
 * is left over on either side is listed.
 */
export function joinRows(mapping: Mapping, rows: readonly Joinable[], tables: Tables, taken: Taken): void {
  const join = mapping.join!;
  const matches =
    join.by === 'swing_id'
      ? joinById(rows, tables, taken, {
          namesGolfer: mapping.columns.some(({ to }) => to === 'golfers.golfer_id'),
        })
      : joinInTime(join, rows, tables, taken);
  for (const match of matches) fill(tables.get('swings')!, match, taken);
  for (const swing of unmatched(rows, new Set(matches.map(({ row }) => row)), tables))
    taken.unmatchedSwings.push(swing);
}

/** Visit of each session of the dataset. */
export function visitsOf(sessions: GrowingTable): ReadonlyMap<string, { golfer: string; date: string }> {
  return new Map(
    Array.from({ length: sessions.length }, (_, row) => [
      sessions.get(row, 'session_id'),
      { golfer: sessions.get(row, 'golfer_id'), date: sessions.get(row, 'date') },
    ]),
  );
}

export function visitOf({ golfer, date }: Joinable): Visit {
  return { golfer, date };
}

/** Swings without a row, of the sessions in which others have one and of the golfers and days that the sheet names. */
function unmatched(rows: readonly Joinable[], used: ReadonlySet<number>, tables: Tables): string[] {
  const [sessions, swings] = [tables.get('sessions')!, tables.get('swings')!];
  const named = new Set(rows.map((one) => JSON.stringify(visitOf(one))));
  const met = new Set([...used].map((row) => swings.get(row, 'session_id')));
  for (const [session, visit] of visitsOf(sessions)) if (named.has(JSON.stringify(visit))) met.add(session);
  const left: string[] = [];
  for (let row = 0; row < swings.firstNew; row += 1)
    if (met.has(swings.get(row, 'session_id')) && !used.has(row)) left.push(swings.get(row, 'swing_id'));
  return left;
}

const NOT_JOINED: ReadonlySet<string> = new Set([
  'swing_id',
  'session_id',
  'order_in_session',
  'task',
  'time_of_day',
]);

/** Puts the numbers of a row beside what the swing has; what it has stays. */
function fill(swings: GrowingTable, { one: { line, cells }, row, secondsApart }: Match, taken: Taken): void {
  let filled = 0;
  let same = 0;
  for (let k = 0; k < cells.length; k += 2) {
    const [column, text] = [cells[k]!, cells[k + 1]!];
    const has = swings.get(row, column);
    if (has === '') {
      swings.set(row, column, text);
      filled += 1;
    } else if (Number(has) === Number(text) || has === text) same += 1;
    else taken.kept.push({ line, table: 'swings', column, has });
  }
  const swing = swings.get(row, 'swing_id');
  if (filled === 0 && same > 0) taken.alreadyThere.push({ line, key: swing });
  else taken.joined.push({ line, swing, secondsApart });
}
