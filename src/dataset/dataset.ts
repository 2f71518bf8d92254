import { TABLE_NAMES, type TableName } from './generated/rows.ts';
import { Table } from './table.ts';

/** Every table of a dataset, by name; one that was not given has no rows. */
export type Tables = { readonly [Name in TableName]: Table<Name> };

/** A file a dataset was read from, and the hash of its bytes. */
export interface InputFile {
  /** POSIX path relative to the dataset's folder. */
  readonly file: string;
  readonly sha256: string;
}

/** A checked dataset in memory. Every table is there; one that was not given has no rows. */
export interface Dataset {
  readonly tables: Tables;
  /** The tables that were given, in the order of the schemas. */
  readonly given: readonly TableName[];
  /** In order of path; empty for a dataset made from rows in memory. */
  readonly files: readonly InputFile[];
  /** The title in datapackage.json, where there is one. */
  readonly title: string | null;
  /** The newest date in any table (YYYY-MM-DD), or null where there is no date. */
  readonly newestDate: string | null;
}

/** The newest date of the tables: the date of what is known, which does not depend on today. */
export function newestDate(tables: Tables): string | null {
  let newest: string | null = null;
  const dates: readonly (readonly (string | null)[])[] = [
    tables.sessions.column('date'),
    tables.assignments.column('assigned_on'),
    tables.practice.column('date'),
    tables.golfers.column('consent_date'),
  ];
  for (const column of dates)
    for (const date of column) if (date !== null && (newest === null || date > newest)) newest = date;
  return newest;
}

/** A full set of tables from those given; the others are empty. */
export function completeTables(given: ReadonlyMap<TableName, Table>): Tables {
  const entries = TABLE_NAMES.map((name) => [name, given.get(name) ?? new Table(name, new Map(), 0, null)]);
  return Object.fromEntries(entries) as unknown as Tables;
}
