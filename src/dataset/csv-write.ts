import { textAt } from './column.ts';
import { cellText } from './from-rows.ts';
import { tableSchema } from './schema.ts';
import type { Table } from './table.ts';

/**
 * A table as CSV (RFC 4180, with \n at the end of each line): the columns of the schema in its order,
 * then the extra ones. Numbers are in the shortest form that reads back the same.
 */
export function tableToCsv(table: Table): string {
  const columns = table.columnNames;
  const fields = new Map(tableSchema(table.name).fields.map((field) => [field.name, field]));
  const cells = columns.map((name): ((index: number) => string) => {
    const stored = table.stored(name)!;
    if (stored.kind === 'text') return (index) => textAt(stored, index) ?? '';
    const isYesNo = fields.get(name)?.type === 'boolean';
    return (index) => {
      const value = stored.values[index]!;
      return cellText(isYesNo && !Number.isNaN(value) ? value === 1 : value);
    };
  });
  const lines = [csvLine(columns)];
  for (let index = 0; index < table.length; index += 1) lines.push(csvLine(cells.map((cell) => cell(index))));
  return lines.join('');
}

/**
 * One line of CSV, quoted only where needed.
 * @example csvLine(['G01', '1,5']) // 'G01,"1,5"\n'
 */
export function csvLine(cells: readonly string[]): string {
  return `${cells.map(quoted).join(',')}\n`;
}

function quoted(cell: string): string {
  return /[",\n\r]|^\s|\s$|^\uFEFF/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell;
}
