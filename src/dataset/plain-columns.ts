import { type Column, NumberBuilder, TextBuilder } from './column.ts';
import type { TableName } from './generated/rows.ts';
import { tableSchema } from './schema.ts';
import { Table } from './table.ts';

/** What the cells of a plain column are. A date is a text, year-month-day. */
export type PlainKind = 'text' | 'number' | 'yes-no';

/**
 * A column as an ordinary list: texts, numbers, or true and false. A missing text or yes/no is null, a missing number NaN;
 * 0, minus zero and the text `NaN` are themselves.
 */
export interface PlainColumn {
  readonly name: string;
  readonly kind: PlainKind;
  readonly values: readonly (string | number | boolean | null)[];
}

/**
 * The columns that a table came with, as ordinary lists: for handing to another library.
 *
 * @example plainColumns(dataset.tables.golfers)[1] // { name: 'plays', kind: 'text', values: ['right', 'right', ...] }
 */
export function plainColumns(table: Table): readonly PlainColumn[] {
  return table.columnNames.map((name) => {
    const kind = plainKind(table.name, name);
    if (kind === 'text') return { name, kind, values: table.text(name) };
    const numbers = Array.from(table.numbers(name));
    if (kind === 'number') return { name, kind, values: numbers };
    return { name, kind, values: numbers.map((value) => (Number.isNaN(value) ? null : value === 1)) };
  });
}

/**
 * What the cells of a column are by the schema; a column that is not in it holds texts.
 * @example plainKind('golfers', 'height_cm') // 'number'
 */
export function plainKind(table: TableName, column: string): PlainKind {
  const type = tableSchema(table).fields.find(({ name }) => name === column)?.type;
  if (type === 'number' || type === 'integer') return 'number';
  return type === 'boolean' ? 'yes-no' : 'text';
}

/**
 * A table of plain columns; the inverse of {@link plainColumns}. Columns may come in any order and some may be left out. A
 * missing cell may be null, undefined or NaN. The lines of the file are not kept: the first row is line 2.
 *
 * @param length the number of rows, which columns alone do not tell where there is none
 * @throws Error when columns differ in length, a name comes twice, or a cell is of another kind than the schema has
 * @example
 * const columns = [{ name: 'golfer_id', values: ['G01'] }, { name: 'plays', values: ['left'] }];
 * tableFromPlain('golfers', columns, 1).column('plays') // ['left']
 */
export function tableFromPlain<Name extends TableName>(
  name: Name,
  columns: readonly { readonly name: string; readonly values: ArrayLike<unknown> }[],
  length: number,
): Table<Name> {
  const made = new Map<string, Column>();
  for (const { name: column, values } of columns) {
    if (made.has(column))
      throw new Error(`tableFromPlain: ${name} has two columns '${column}'. Rename one of them.`);
    if (values.length !== length)
      throw new Error(
        `tableFromPlain: ${name}.${column} has ${values.length} cells and the table ${length} rows. Give each column a cell for every row.`,
      );
    made.set(column, columnOf(`${name}.${column}`, plainKind(name, column), values));
  }
  return new Table(name, made, length, null);
}

const NEEDED = {
  text: 'a text, or null where it is missing',
  number: 'a number, or NaN or null where it is missing',
  'yes-no': 'true or false, or null where it is missing',
} as const satisfies Record<PlainKind, string>;

function columnOf(where: string, kind: PlainKind, values: ArrayLike<unknown>): Column {
  const builder = kind === 'text' ? new TextBuilder() : new NumberBuilder();
  for (let row = 0; row < values.length; row += 1) {
    const value = values[row];
    const missing = value === null || value === undefined || Number.isNaN(value);
    if (builder instanceof TextBuilder) {
      if (typeof value === 'string' || missing) builder.push(missing ? '' : (value as string));
      else throw misfit(where, row, value, kind);
    } else if (missing) builder.push(Number.NaN);
    else if (kind === 'number' && typeof value === 'number') builder.push(value);
    else if (kind === 'yes-no' && typeof value === 'boolean') builder.push(value ? 1 : 0);
    else throw misfit(where, row, value, kind);
  }
  return builder.finish();
}

function misfit(where: string, row: number, value: unknown, kind: PlainKind): Error {
  return new Error(
    `tableFromPlain: row ${row} of ${where} is ${typeof value === 'string' ? JSON.stringify(value) : String(value)}. Give ${NEEDED[kind]}.`,
  );
}
