import { canonicalJson } from '../canonical-json.ts';
import { sha256Hex } from '../hash.ts';
import { tableSchema } from '../schema.ts';
import type { Table } from '../table.ts';
import type { LockChange, LockedTable } from './plan-lock.ts';

/** Hexadecimal digits kept of a row's SHA-256: one altered row in 2^64 would go unseen. */
const SHORT = 16;

type Cell = string | number | null;

/**
 * A table as it is now: a short hash of each row by its key, and of each column over all rows in order of key.
 * Values are hashed as they are read, so that `1` and `1.0` are the same.
 */
export function lockTable(table: Table): LockedTable {
  const columns = [...table.columnNames].sort();
  const cells = columns.map((column) => cellsOf(table, column));
  const rows = rowsByKey(table, cells);
  return {
    rows: Object.fromEntries([...rows].map(([key, row]) => [key, hashRow(cells, row)])),
    columns: Object.fromEntries(columns.map((column, c) => [column, hashColumn(cells[c]!, rows.values())])),
  };
}

/** What was in the table at the lock and is not as it was. Rows and columns that came later are no change. */
export function tableChanges(locked: LockedTable, table: Table): LockChange[] {
  const file = `${table.name}.csv`;
  const columns = Object.keys(locked.columns).sort();
  const cells = columns.map((column) => (table.has(column) ? cellsOf(table, column) : null));
  const missing = columns.filter((_, c) => cells[c] === null);
  const present = cells.map((own) => own ?? new Array<Cell>(table.length).fill(null));
  const now = rowsByKey(table, present);
  const kept = new Map<string, number>();
  const changes: LockChange[] = missing.map((column) => ({
    where: `${file}, ${column}`,
    what: 'the column was there when the plan was locked and is gone',
  }));
  const altered: string[] = [];
  for (const [key, hash] of Object.entries(locked.rows)) {
    const row = now.get(key);
    if (row === undefined)
      changes.push({
        where: `${file}, ${key}`,
        what: 'the row was there when the plan was locked and is gone',
      });
    else {
      kept.set(key, row);
      if (hashRow(present, row) !== hash) altered.push(key);
    }
  }
  if (altered.length === 0 || missing.length > 0) return changes;
  // With every row of the lock at hand, its columns can be told apart as well.
  const whole = kept.size === Object.keys(locked.rows).length;
  const ordered = [...kept].sort(([a], [b]) => (a < b ? -1 : 1)).map(([, row]) => row);
  const other = whole
    ? columns.filter((column, c) => hashColumn(present[c]!, ordered) !== locked.columns[column])
    : [];
  const where = other.length === 0 ? '' : ` (column ${other.join(', ')})`;
  changes.push(
    ...altered.map((key) => ({
      where: `${file}, ${key}`,
      what: `the row is not as it was when the plan was locked${where}`,
    })),
  );
  return changes;
}

function cellsOf(table: Table, column: string): Cell[] {
  const stored = table.stored(column)!;
  return stored.kind === 'text'
    ? [...table.text(column)]
    : Array.from(stored.values, (value) => (Number.isNaN(value) ? null : value));
}

/** The rows in order of key: the primary key, or where a table has none, what stands in the row and how often. */
function rowsByKey(table: Table, cells: readonly (readonly Cell[])[]): Map<string, number> {
  const { primaryKey } = tableSchema(table.name);
  const keys = primaryKey?.map((column) => table.text(column));
  const seen = new Map<string, number>();
  const entries = Array.from({ length: table.length }, (_, row): [string, number] => {
    if (keys !== undefined) return [keys.map((column) => column[row] ?? '').join(', '), row];
    const content = `row ${hashRow(cells, row)}`;
    const times = (seen.get(content) ?? 0) + 1;
    seen.set(content, times);
    return [times === 1 ? content : `${content} again (${times})`, row];
  });
  return new Map(entries.sort(([a], [b]) => (a < b ? -1 : 1)));
}

function hashRow(cells: readonly (readonly Cell[])[], row: number): string {
  return short(cells.map((column) => column[row] ?? null));
}

function hashColumn(cells: readonly Cell[], rows: Iterable<number>): string {
  return short(Array.from(rows, (row) => cells[row] ?? null));
}

function short(values: readonly Cell[]): string {
  return sha256Hex(canonicalJson(values)).slice(0, SHORT);
}
