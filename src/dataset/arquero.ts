import { table as arqueroTable, type ColumnTable } from 'arquero';
import { tableSchema } from './schema.ts';
import type { Table } from './table.ts';

/**
 * A table as an arquero table, for studies and notebooks: the columns it came with, numbers as
 * Float64Array (NaN missing), yes/no as true/false/null, texts and dates as text (null missing).
 *
 * @example toArquero(dataset.tables.golfers).groupby('plays').count().objects() // [{ plays: 'right', count: 32 }, { plays: 'left', count: 4 }]
 */
export function toArquero(table: Table): ColumnTable {
  const fields = new Map(tableSchema(table.name).fields.map((field) => [field.name, field]));
  return arqueroTable(
    table.columnNames.map((name): [string, ArrayLike<unknown>] => {
      if (table.stored(name)?.kind === 'text') return [name, table.text(name)];
      const values = table.numbers(name);
      if (fields.get(name)?.type !== 'boolean') return [name, values];
      return [name, Array.from(values, (value) => (Number.isNaN(value) ? null : value === 1))];
    }) as never,
  );
}
