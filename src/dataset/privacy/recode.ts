import type { Column, TextColumn } from '../column.ts';
import { completeTables, type Dataset, newestDate } from '../dataset.ts';
import { TABLE_NAMES, type TableName } from '../generated/rows.ts';
import { tableSchema } from '../schema.ts';
import { Table } from '../table.ts';
import { codesFor, codesWithin } from './codes.ts';
import { TextFinder } from './sought.ts';

/** Codes in place of ids, by the id. */
export interface Codes {
  readonly golfers: ReadonlyMap<string, string>;
  readonly instructors: ReadonlyMap<string, string>;
  readonly sessions: ReadonlyMap<string, string>;
  readonly swings: ReadonlyMap<string, string>;
}

/** Codes for all ids of a dataset; a session's begins with its golfer's, and a swing's with its session's. */
export function codesOf({ tables }: Dataset, key: Uint8Array): Codes {
  const golfers = codesFor(key, 'golfer', present(tables.golfers.column('golfer_id')));
  const instructors = codesFor(key, 'instructor', [
    ...present(tables.instructors.column('instructor_id')),
    ...present(tables.sessions.column('instructor_id')),
  ]);
  const sessions = codesWithin(
    key,
    'session',
    tables.sessions.column('session_id'),
    tables.sessions.column('golfer_id'),
    golfers,
  );
  const swings = codesWithin(
    key,
    'swing',
    tables.swings.column('swing_id'),
    tables.swings.column('session_id'),
    sessions,
  );
  return { golfers, instructors, sessions, swings };
}

function present(values: readonly (string | null)[]): string[] {
  return values.filter((value) => value !== null);
}

/** Changes a column of a table, or takes it out (null). */
export type ColumnChange = (table: TableName, name: string, column: Column) => Column | null;

/**
 * A dataset under other ids: columns that the schema does not know are left out, ids and names that stand in other texts are
 * replaced, and rows are in the order of the new ids, since the old order tells the old ids.
 *
 * @param names how people are written in the sheets that were imported
 */
export function recoded(
  dataset: Dataset,
  codes: Codes,
  names: readonly string[],
  change: ColumnChange = (_table, _name, column) => column,
): Dataset {
  const words = [...codes.golfers.keys(), ...codes.instructors.keys(), ...names];
  const finder = new TextFinder({ golfers: [], words, others: [] });
  const byColumn: Readonly<Record<string, ReadonlyMap<string, string>>> = {
    golfer_id: codes.golfers,
    instructor_id: codes.instructors,
    session_id: codes.sessions,
    swing_id: codes.swings,
  };
  const made = new Map<TableName, Table>();
  for (const name of TABLE_NAMES.filter((table) => dataset.given.includes(table))) {
    const table = dataset.tables[name];
    const columns = new Map<string, Column>();
    for (const { name: column } of tableSchema(name).fields) {
      const stored = table.stored(column);
      if (stored === undefined) continue;
      const changed = change(name, column, stored);
      if (changed === null) continue;
      columns.set(column, changed.kind === 'text' ? withLevels(changed, levelOf(byColumn[column])) : changed);
    }
    made.set(name, inOrder(name, columns, table.length));
  }
  const tables = completeTables(made);
  return { tables, given: [...made.keys()], files: [], title: null, newestDate: newestDate(tables) };

  function levelOf(ids: ReadonlyMap<string, string> | undefined): (level: string) => string {
    if (ids !== undefined) return (level) => ids.get(level) ?? level;
    return (level) => finder.replaced(level, 'somebody').text;
  }
}

function withLevels(column: TextColumn, to: (level: string) => string): TextColumn {
  const levels: string[] = [];
  const places = new Map<string, number>();
  const place = column.levels.map((level) => {
    const text = to(level);
    const known = places.get(text);
    if (known !== undefined) return known;
    places.set(text, levels.length);
    return levels.push(text) - 1;
  });
  return { kind: 'text', levels, codes: column.codes.map((code) => (code < 0 ? code : place[code]!)) };
}

const ORDERED_BY: Readonly<Record<TableName, readonly string[]>> = {
  golfers: ['golfer_id'],
  instructors: ['instructor_id'],
  sessions: ['golfer_id', 'date', 'session_id'],
  swings: ['session_id', 'order_in_session', 'swing_id'],
  assignments: ['golfer_id', 'assigned_on', 'trial_id'],
  practice: ['golfer_id', 'date'],
  captures: ['swing_id', 'file'],
};

function inOrder(name: TableName, columns: ReadonlyMap<string, Column>, length: number): Table {
  const ranks = ORDERED_BY[name].flatMap((key) => {
    const column = columns.get(key);
    return column === undefined ? [] : [rankOf(column)];
  });
  const rows = Int32Array.from({ length }, (_, row) => row).sort((a, b) => {
    for (const rank of ranks) if (rank[a] !== rank[b]) return rank[a]! - rank[b]!;
    return a - b;
  });
  const sorted = [...columns].map(([key, column]): [string, Column] => [key, rowsAt(column, rows)]);
  return new Table(name, new Map(sorted), length, null);
}

/** Numbers that stand in the order of the column's values. */
function rankOf(column: Column): ArrayLike<number> {
  if (column.kind === 'number') return column.values;
  const order = column.levels.map((_, level) => level);
  order.sort((a, b) => (column.levels[a]! < column.levels[b]! ? -1 : 1));
  const rank = new Int32Array(order.length);
  order.forEach((level, place) => {
    rank[level] = place;
  });
  return column.codes.map((code) => (code < 0 ? -1 : rank[code]!));
}

export function rowsAt(column: Column, rows: Int32Array): Column {
  return column.kind === 'number'
    ? { kind: 'number', values: Float64Array.from(rows, (row) => column.values[row]!) }
    : { ...column, codes: rows.map((row) => column.codes[row]!) };
}
