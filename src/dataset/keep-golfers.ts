import { type Column, textAt } from './column.ts';
import { type Dataset, newestDate } from './dataset.ts';
import type { TableName } from './generated/rows.ts';
import { rowsOf } from './keep-swings.ts';
import type { Table } from './table.ts';

/**
 * The same dataset with some of its golfers: every row of the others is left out of every table, and so are instructors who
 * then have no session. The files it came from stay as they are named; the tables are no longer theirs.
 *
 * @example keepGolfers(dataset, new Set(['G01', 'G02'])).tables.golfers.length // 2
 */
export function keepGolfers(dataset: Dataset, golfers: ReadonlySet<string>): Dataset {
  const { tables: all } = dataset;
  const sessions = having(all.sessions, 'golfer_id', golfers);
  const swings = having(all.swings, 'session_id', valuesOf(sessions, 'session_id'));
  const tables = {
    ...all,
    golfers: having(all.golfers, 'golfer_id', golfers),
    sessions,
    swings,
    captures: having(all.captures, 'swing_id', valuesOf(swings, 'swing_id')),
    practice: having(all.practice, 'golfer_id', golfers),
    assignments: having(all.assignments, 'golfer_id', golfers),
    instructors: having(all.instructors, 'instructor_id', valuesOf(sessions, 'instructor_id')),
  };
  return { ...dataset, tables, newestDate: newestDate(tables) };
}

function having<Name extends TableName>(
  table: Table<Name>,
  column: string,
  wanted: ReadonlySet<string | null>,
): Table<Name> {
  const values = textsOf(table.stored(column), table.length);
  return rowsOf(table, (row) => wanted.has(values[row] ?? null));
}

function valuesOf(table: Table<TableName>, column: string): ReadonlySet<string> {
  return new Set(textsOf(table.stored(column), table.length).filter((value) => value !== null));
}

/** A column of ids as texts; null in each row where the table has no such column. */
function textsOf(column: Column | undefined, rows: number): readonly (string | null)[] {
  return Array.from({ length: rows }, (_, row) =>
    column === undefined || column.kind !== 'text' ? null : textAt(column, row),
  );
}
