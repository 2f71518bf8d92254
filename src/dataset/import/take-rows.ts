import type { TableName } from '../generated/rows.ts';
import { secondsOf } from './cell-values.ts';
import type { GrowingTable, RowValues } from './growing-table.ts';
import type { ImportProblem } from './import-problem.ts';
import { joinByTime } from './join-by-time.ts';
import type { Mapping } from './mapping.ts';
import { type EmptiedCell, rowReader } from './row-records.ts';
import type { SheetRow } from './sheet.ts';

export interface LeftOutRow {
  readonly line: number;
  readonly why: string;
  /** Whether the mapping says so, and the row has no fault. */
  readonly asTold?: true;
}

/** What became of each row of the sheet. Each line is in exactly one of the lists. */
export interface Taken {
  readonly imported: {
    readonly line: number;
    readonly table: TableName;
    readonly row: number;
    readonly key: string;
  }[];
  readonly joined: { readonly line: number; readonly swing: string; readonly secondsApart: number | null }[];
  readonly alreadyThere: { readonly line: number; readonly key: string }[];
  readonly leftOut: LeftOutRow[];
  readonly cells: EmptiedCell[];
  /** Swings of the dataset, in sessions of the sheet, for which the sheet has no row. */
  readonly unmatchedSwings: string[];
  /** What was left as the dataset has it, though the sheet says otherwise. */
  readonly kept: {
    readonly line: number;
    readonly table: TableName;
    readonly column: string;
    readonly has: string;
  }[];
  readonly problems: ImportProblem[];
}

export type Tables = ReadonlyMap<TableName, GrowingTable>;

/** Reads every row of the sheet and adds it to the tables, or says why not. */
export function takeRows(
  mapping: Mapping,
  rows: readonly SheetRow[],
  columns: number,
  tables: Tables,
): Taken {
  const taken: Taken = {
    imported: [],
    joined: [],
    alreadyThere: [],
    leftOut: [],
    cells: [],
    unmatchedSwings: [],
    kept: [],
    problems: [],
  };
  const [golfers, swings] = [tables.get('golfers')!, tables.get('swings')!];
  const read = rowReader(mapping, columns, {
    playsOf: (golfer) => {
      const row = golfers.rowOf(golfer);
      return row === undefined ? null : golfers.get(row, 'plays');
    },
    lastOrderIn: lastOrderIn(swings),
    hasSwing: (id) => swings.sourceLine(swings.rowOf(id) ?? -1) === null && swings.rowOf(id) !== undefined,
  });
  const toJoin: Joinable[] = [];
  for (const row of rows) {
    const reading = read(row);
    taken.cells.push(...reading.cells);
    if (!reading.ok)
      taken.leftOut.push({ line: row.line, why: reading.why, ...(reading.asTold ? { asTold: true } : {}) });
    else if (mapping.join !== null) toJoin.push({ line: row.line, values: reading.values });
    else addRow(mapping.rows, row.line, reading, tables, taken);
  }
  if (mapping.join !== null) joinRows(mapping.join, toJoin, tables, taken);
  return taken;
}

function lastOrderIn(swings: GrowingTable): (session: string) => number {
  const last = new Map<string, number>();
  for (let row = 0; row < swings.firstNew; row += 1) {
    const session = swings.get(row, 'session_id');
    last.set(session, Math.max(last.get(session) ?? 0, Number(swings.get(row, 'order_in_session')) || 0));
  }
  return (session) => last.get(session) ?? 0;
}

type Values = ReadonlyMap<TableName, RowValues>;

function addRow(
  main: TableName,
  line: number,
  { values, orderIsPlace }: { readonly values: Values; readonly orderIsPlace: boolean },
  tables: Tables,
  taken: Taken,
): void {
  // Parents first: a swing whose session says something else than the sheet is no swing of that session.
  const parents: readonly TableName[] = main === 'swings' ? ['sessions'] : [];
  for (const name of parents) {
    const standing = tables.get(name)!.standing(values.get(name)!);
    if (standing.is !== 'other') continue;
    const from = tables.get(name)!.sourceLine(standing.row);
    taken.leftOut.push({
      line,
      why: `its session has ${standing.column} '${standing.has}' ${from === null ? 'in the dataset' : `on line ${from}`} and '${standing.given}' here`,
    });
    return;
  }
  const own = values.get(main)!;
  const table = tables.get(main)!;
  const key = [...own.values()][0] ?? '';
  const id =
    main === 'swings'
      ? own.get('swing_id')!
      : main === 'sessions'
        ? own.get('session_id')!
        : main === 'golfers'
          ? own.get('golfer_id')!
          : key;
  const standing = table.standing(own, orderIsPlace ? 'order_in_session' : undefined);
  const from = standing.is === 'absent' ? null : table.sourceLine(standing.row);
  if (standing.is === 'other' && !(main === 'golfers' && from !== null && standing.has === '')) {
    taken.leftOut.push({
      line,
      why: `${id} stands ${from === null ? 'in the dataset' : `on line ${from}`} with ${standing.column} '${standing.has}', and here with '${standing.given}'; nothing was overwritten`,
    });
    return;
  }
  if (standing.is !== 'absent') {
    if (from === null) taken.alreadyThere.push({ line, key: id });
    else taken.leftOut.push({ line, why: `it is the same as line ${from}` });
    return;
  }
  if (main !== 'golfers') addGolfer(line, values.get('golfers')!, tables.get('golfers')!, taken);
  for (const name of parents)
    if (tables.get(name)!.standing(values.get(name)!).is === 'absent')
      tables.get(name)!.add(values.get(name)!, line);
  const row = table.add(own, line);
  taken.imported.push({ line, table: main, row, key: id });
}

/** A golfer is added once; what a later row says otherwise is left and said, but for the side, which is never open. */
function addGolfer(line: number, values: RowValues, golfers: GrowingTable, taken: Taken): void {
  const standing = golfers.standing(values);
  if (standing.is === 'absent') golfers.add(values, line);
  if (standing.is !== 'other') return;
  const { row, column, has, given } = standing;
  if (has === '' && golfers.sourceLine(row) !== null) {
    golfers.set(row, column, given);
    addGolfer(line, values, golfers, taken);
    return;
  }
  if (given === '') {
    addGolfer(line, new Map([...values].filter(([, text]) => text !== '')), golfers, taken);
    return;
  }
  if (column === 'plays')
    taken.problems.push({
      where: `line ${line}`,
      found: `${values.get('golfer_id')} plays ${given}`,
      expected: `${has}, as ${golfers.sourceLine(row) === null ? 'the dataset has it' : `line ${golfers.sourceLine(row)} has it`}`,
      remedy: 'Correct the one that is wrong: the trail side, and so every elbow angle, follows from it.',
    });
  else if (!taken.kept.some((one) => one.table === 'golfers' && one.column === column && one.line === line))
    taken.kept.push({ line, table: 'golfers', column, has });
}

interface Joinable {
  readonly line: number;
  readonly values: Values;
}

function joinRows(
  join: NonNullable<Mapping['join']>,
  rows: readonly Joinable[],
  tables: Tables,
  taken: Taken,
): void {
  const swings = tables.get('swings')!;
  const used = new Set<number>();
  if (join.by === 'swing_id')
    for (const one of rows) {
      const id = one.values.get('swings')?.get('swing_id') ?? '';
      const row = swings.rowOf(id);
      if (row === undefined) taken.leftOut.push({ line: one.line, why: `the dataset has no swing '${id}'` });
      else if (used.has(row))
        taken.leftOut.push({ line: one.line, why: `another line has the swing '${id}' already` });
      else {
        used.add(row);
        fill(swings, row, one, null, taken);
      }
    }
  else joinSessions(join, rows, tables, used, taken);
  const sessions = new Set([...used].map((row) => swings.get(row, 'session_id')));
  for (let row = 0; row < swings.firstNew; row += 1)
    if (sessions.has(swings.get(row, 'session_id')) && !used.has(row))
      taken.unmatchedSwings.push(swings.get(row, 'swing_id'));
}

/** Time tells swings apart only within the visits of one golfer on one day. */
function joinSessions(
  join: NonNullable<Mapping['join']>,
  rows: readonly Joinable[],
  tables: Tables,
  used: Set<number>,
  taken: Taken,
): void {
  const [sessions, swings] = [tables.get('sessions')!, tables.get('swings')!];
  const visitOf = (golfer: string, date: string) => JSON.stringify([golfer, date]);
  const visitBySession = new Map(
    sessions.rows.map((_, row) => [
      sessions.get(row, 'session_id'),
      visitOf(sessions.get(row, 'golfer_id'), sessions.get(row, 'date')),
    ]),
  );
  const swingsBy = new Map<string, { row: number; seconds: number }[]>();
  for (let row = 0; row < swings.firstNew; row += 1) {
    const time = swings.get(row, 'time_of_day');
    const visit = visitBySession.get(swings.get(row, 'session_id'));
    if (time === '' || visit === undefined) continue;
    listOf(swingsBy, visit).push({ row, seconds: secondsOf(time) });
  }
  const rowsBy = new Map<string, { one: Joinable; seconds: number }[]>();
  for (const one of rows) {
    const session = one.values.get('sessions');
    const time = one.values.get('swings')?.get('time_of_day') ?? '';
    const visit = visitOf(session?.get('golfer_id') ?? '', session?.get('date') ?? '');
    if (time === '') taken.leftOut.push({ line: one.line, why: 'it has no time of day to be joined by' });
    else listOf(rowsBy, visit).push({ one, seconds: secondsOf(time) + (join.offset_s ?? 0) });
  }
  for (const [visit, sheet] of rowsBy) {
    const there = swingsBy.get(visit) ?? [];
    const pairs = joinByTime(
      sheet.map(({ seconds }) => seconds),
      there.map(({ seconds }) => seconds),
      join.tolerance_s ?? 5,
    );
    const paired = new Map(pairs.map(({ left, right }) => [left, right]));
    sheet.forEach(({ one, seconds }, index) => {
      const swing = there[paired.get(index) ?? -1];
      if (swing === undefined) {
        const why =
          there.length === 0
            ? 'the dataset has no swing with a time for this golfer and day'
            : `no swing of the dataset is within ${join.tolerance_s ?? 5} s of it`;
        taken.leftOut.push({ line: one.line, why });
        return;
      }
      used.add(swing.row);
      fill(swings, swing.row, one, Math.round(Math.abs(seconds - swing.seconds) * 1000) / 1000, taken);
    });
  }
}

function listOf<Item>(lists: Map<string, Item[]>, key: string): Item[] {
  const list = lists.get(key) ?? [];
  lists.set(key, list);
  return list;
}

const NOT_JOINED: ReadonlySet<string> = new Set([
  'swing_id',
  'session_id',
  'order_in_session',
  'task',
  'time_of_day',
]);

/** Puts the numbers of a row beside what the swing has; what it has stays. */
function fill(
  swings: GrowingTable,
  row: number,
  { line, values }: Joinable,
  secondsApart: number | null,
  taken: Taken,
): void {
  let filled = 0;
  let same = 0;
  for (const [column, text] of values.get('swings') ?? []) {
    if (text === '' || NOT_JOINED.has(column)) continue;
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
