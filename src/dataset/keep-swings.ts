import type { Column } from './column.ts';
import { type Dataset, newestDate } from './dataset.ts';
import type { TableName } from './generated/rows.ts';
import { Table } from './table.ts';

/**
 * The same dataset with some of its swings: those whose index in swings.csv passes. Every other table stays as it
 * is, and so do the files it came from and the line numbers of the swings that stay.
 *
 * @example
 * // Without the first two swings of each session
 * const orders = dataset.tables.swings.column('order_in_session');
 * Math.min(...keepSwings(dataset, (index) => orders[index]! > 2).tables.swings.column('order_in_session')) // 3
 */
export function keepSwings(dataset: Dataset, keep: (index: number) => boolean): Dataset {
  const tables = { ...dataset.tables, swings: rowsOf(dataset.tables.swings, keep) };
  return { ...dataset, tables, newestDate: newestDate(tables) };
}

/** The table with those of its rows whose index passes; their line numbers stay. */
export function rowsOf<Name extends TableName>(
  table: Table<Name>,
  keep: (index: number) => boolean,
): Table<Name> {
  const kept = Int32Array.from({ length: table.length }, (_, index) => index).filter(keep);
  const columns = new Map<string, Column>();
  for (const name of table.columnNames) {
    const column = table.stored(name)!;
    columns.set(
      name,
      column.kind === 'number'
        ? { kind: 'number', values: Float64Array.from(kept, (index) => column.values[index]!) }
        : { ...column, codes: Int32Array.from(kept, (index) => column.codes[index]!) },
    );
  }
  const lines = Int32Array.from(kept, (index) => table.line(index));
  return new Table(table.name, columns, kept.length, lines);
}
