import { type Column, type TextColumn, textAt } from './column.ts';
import type { TableName, TableRows } from './generated/rows.ts';
import { type FieldSchema, tableSchema } from './schema.ts';

/** A number or yes/no column comes as numbers (NaN missing, yes 1, no 0); a text or date as texts (null missing). */
export type ColumnValues<Value> =
  Extract<Value, number | boolean> extends never ? readonly (string | null)[] : Float64Array;

/** A table in memory, by columns. */
export class Table<Name extends TableName = TableName> {
  readonly name: Name;
  readonly length: number;
  /** Columns that the file has beyond the schema, in its order; their values are kept as text. */
  readonly extraColumns: readonly string[];
  readonly #columns: ReadonlyMap<string, Column>;
  readonly #lines: Int32Array | null;
  readonly #texts = new Map<string, readonly (string | null)[]>();

  constructor(name: Name, columns: ReadonlyMap<string, Column>, length: number, lines: Int32Array | null) {
    this.name = name;
    this.length = length;
    this.#columns = columns;
    this.#lines = lines;
    const known = new Set(tableSchema(name).fields.map((field) => field.name));
    this.extraColumns = [...columns.keys()].filter((column) => !known.has(column));
  }

  /** Whether the table came with this column (a column may be there and hold no value). */
  has(column: string): boolean {
    return this.#columns.has(column);
  }

  /** Names of the columns it came with: those of the schema in its order, then the extra ones. */
  get columnNames(): readonly string[] {
    const own = tableSchema(this.name).fields.map((field) => field.name);
    return [...own.filter((column) => this.has(column)), ...this.extraColumns];
  }

  /** The column as it is stored, or undefined where the table came without it. */
  stored(column: string): Column | undefined {
    return this.#columns.get(column);
  }

  /**
   * A column of the schema, row by row. A column the table came without is all missing.
   *
   * @throws Error when the schema has no such column.
   * @example dataset.tables.swings.column('shaft_lean_impact_deg') instanceof Float64Array // true; NaN where missing
   * @example dataset.tables.sessions.column('phase') // ['baseline', 'training', ...]; null where missing
   */
  column<Key extends keyof TableRows[Name] & string>(column: Key): ColumnValues<TableRows[Name][Key]> {
    const field = this.#field(column);
    const isText = field.type === 'string' || field.type === 'date';
    const values = isText ? this.text(column) : this.numbers(column);
    return values as ColumnValues<TableRows[Name][Key]>;
  }

  /** Like `column`, for a name known only when the program runs; numbers or yes/no as 1/0, NaN missing. */
  numbers(column: string): Float64Array {
    const stored = this.#columns.get(column);
    if (stored === undefined) {
      this.#field(column);
      return new Float64Array(this.length).fill(Number.NaN);
    }
    if (stored.kind === 'text')
      throw new Error(`Table.numbers: ${this.name}.${column} holds text. Use text('${column}').`);
    return stored.values;
  }

  /** Like `column`, for a name known only when the program runs, extra columns among them; null missing. */
  text(column: string): readonly (string | null)[] {
    const cached = this.#texts.get(column);
    if (cached !== undefined) return cached;
    const texts = this.#textsOf(column);
    this.#texts.set(column, texts);
    return texts;
  }

  #textsOf(column: string): readonly (string | null)[] {
    const stored = this.#columns.get(column);
    if (stored === undefined) {
      this.#field(column);
      return new Array<null>(this.length).fill(null);
    }
    if (stored.kind === 'number')
      throw new Error(`Table.text: ${this.name}.${column} holds numbers. Use numbers('${column}').`);
    return Array.from(stored.codes, (code) => (code < 0 ? null : (stored.levels[code] ?? null)));
  }

  /** The line of a row in its file, the header being line 1. */
  line(index: number): number {
    return this.#lines?.[index] ?? index + 2;
  }

  /** One row as an object with every column of the schema; null where missing. */
  row(index: number): TableRows[Name] {
    if (!Number.isInteger(index) || index < 0 || index >= this.length)
      throw new Error(`Table.row: ${this.name} has rows 0 to ${this.length - 1}, not ${index}.`);
    const row: Record<string, unknown> = {};
    for (const field of tableSchema(this.name).fields)
      row[field.name] = cell(field, this.#columns.get(field.name), index);
    return row as unknown as TableRows[Name];
  }

  *rows(): IterableIterator<TableRows[Name]> {
    for (let index = 0; index < this.length; index += 1) yield this.row(index);
  }

  #field(column: string): FieldSchema {
    const field = tableSchema(this.name).fields.find((candidate) => candidate.name === column);
    if (field === undefined)
      throw new Error(
        `Table.column: ${this.name} has no column '${column}'. It has: ${this.columnNames.join(', ')}.`,
      );
    return field;
  }
}

function cell(field: FieldSchema, column: Column | undefined, index: number): unknown {
  if (column === undefined) return null;
  if (column.kind === 'text') return textAt(column as TextColumn, index);
  const value = column.values[index] ?? Number.NaN;
  if (Number.isNaN(value)) return null;
  return field.type === 'boolean' ? value === 1 : value;
}
