import { checkTables, type ReadTables } from './check-tables.ts';
import type { Dataset } from './dataset.ts';
import { TABLE_NAMES, type TableName, type TableRows } from './generated/rows.ts';
import type { Checked } from './problem.ts';
import { TableReader } from './read/table-reader.ts';
import { tableSchema } from './schema.ts';

type NullableKeys<Row> = { [Key in keyof Row]: null extends Row[Key] ? Key : never }[keyof Row];

/** A row as it may be given: what may be missing may be left out, null or undefined. */
export type RowInput<Row> = Omit<Row, NullableKeys<Row>> & {
  readonly [Key in NullableKeys<Row>]?: Row[Key] | undefined;
};

/** Rows of each table as plain objects; a table that is absent is empty. */
export type RowsInput = {
  readonly [Name in TableName]?: readonly RowInput<TableRows[Name]>[];
};

/**
 * A dataset from rows in memory, through the very checks a folder goes through. Line numbers count as in
 * the file the rows would make: the first row is line 2. Columns that no row has are absent. With `mayBeEmpty`, no
 * table need be there or have rows.
 *
 * @example
 * datasetFromRows({
 *   golfers: [{ golfer_id: 'G01', plays: 'left' }],
 *   sessions: [{ session_id: 'S1', golfer_id: 'G01', date: '2026-03-04', phase: 'baseline' }],
 *   swings: [{ swing_id: 'W1', session_id: 'S1', order_in_session: 1, task: 'full', club_speed_mps: 36.4 }],
 * }).valid // true
 */
export function datasetFromRows(
  rows: RowsInput,
  options: Pick<ReadTables, 'mayBeEmpty'> = {},
): Checked<Dataset> {
  const tables = TABLE_NAMES.filter((name) => rows[name] !== undefined).map((name) =>
    readRows(name, rows[name] as readonly object[]),
  );
  return checkTables({ tables, ...options });
}

function readRows(name: TableName, rows: readonly object[]) {
  const header = headerOf(name, rows);
  const reader = new TableReader(name, header);
  rows.forEach((row, index) => {
    const values = new Map<string, unknown>(Object.entries(row));
    reader.push(
      header.map((column) => cellText(values.get(column))),
      index + 2,
    );
  });
  return reader.finish();
}

/** The columns that some row has, in the order of the schema; all of the schema's when there is no row. */
function headerOf(name: TableName, rows: readonly object[]): string[] {
  const own = tableSchema(name).fields.map((field) => field.name);
  if (rows.length === 0) return own;
  const used = new Set(rows.flatMap((row) => Object.keys(row)));
  return [
    ...own.filter((column) => used.has(column)),
    ...[...used].filter((column) => !own.includes(column)),
  ];
}

/** A value as a file would hold it. */
export function cellText(value: unknown): string {
  if (value === null || value === undefined || (typeof value === 'number' && Number.isNaN(value))) return '';
  if (typeof value === 'boolean') return value ? 'yes' : 'no';
  return Object.is(value, -0) ? '-0' : String(value);
}
