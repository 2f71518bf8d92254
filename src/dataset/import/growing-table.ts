import { csvLine } from '../csv-write.ts';
import type { TableName } from '../generated/rows.ts';
import { eachCsvRow } from '../read/csv-text.ts';
import { tableSchema } from '../schema.ts';

/** What a table has for the key of a row that is to be added. */
export type Standing =
  | { readonly is: 'absent' }
  | { readonly is: 'same'; readonly row: number }
  | {
      readonly is: 'other';
      readonly row: number;
      readonly column: string;
      readonly has: string;
      readonly given: string;
    };

export type RowValues = ReadonlyMap<string, string>;

/** A table to which rows are added, cell by cell as text: what stands there already keeps its very characters. */
export class GrowingTable {
  readonly name: TableName;
  readonly header: string[];
  readonly rows: string[][] = [];
  /** Rows from here on were added. */
  readonly firstNew: number;
  changed = false;
  readonly #rowByKey = new Map<string, number>();
  readonly #sources: number[] = [];

  /** @param text the CSV file as it stands, or null where there is none */
  constructor(name: TableName, text: string | null) {
    this.name = name;
    this.header = [];
    if (text !== null)
      eachCsvRow(text, (cells) => {
        if (this.header.length === 0) this.header.push(...cells);
        else if (cells.some((cell) => cell !== '')) this.rows.push([...cells]);
      });
    this.firstNew = this.rows.length;
    this.rows.forEach((_, row) => {
      this.#rowByKey.set(
        this.#keyOf((column) => this.get(row, column)),
        row,
      );
    });
  }

  get(row: number, column: string): string {
    const index = this.header.indexOf(column);
    return index < 0 ? '' : (this.rows[row]?.[index] ?? '');
  }

  set(row: number, column: string, text: string): void {
    const index = this.#place(column);
    const cells = this.rows[row]!;
    while (cells.length <= index) cells.push('');
    cells[index] = text;
    this.changed = true;
  }

  /** The row with these values in these columns, or undefined. */
  rowOf(key: string): number | undefined {
    return this.#rowByKey.get(key);
  }

  /** @param except a column that is not compared */
  standing(values: RowValues, except?: string): Standing {
    const row = this.#rowByKey.get(this.#keyOf((column) => values.get(column) ?? ''));
    if (row === undefined) return { is: 'absent' };
    for (const [column, given] of values) {
      if (column === except) continue;
      const has = this.get(row, column);
      if (!sameCell(has, given)) return { is: 'other', row, column, has, given };
    }
    return { is: 'same', row };
  }

  /** @param line the line of the sheet it comes from */
  add(values: RowValues, line: number): number {
    const cells: string[] = [];
    for (const [column, text] of values) cells[this.#place(column)] = text;
    for (let index = 0; index < this.header.length; index += 1) cells[index] ??= '';
    const row = this.rows.push(cells) - 1;
    this.#rowByKey.set(
      this.#keyOf((column) => values.get(column) ?? ''),
      row,
    );
    this.#sources[row - this.firstNew] = line;
    this.changed = true;
    return row;
  }

  /** The line of the sheet an added row came from, or null. */
  sourceLine(row: number): number | null {
    return this.#sources[row - this.firstNew] ?? null;
  }

  /** Columns of the schema in its order, then the others. */
  columns(): readonly string[] {
    const own = tableSchema(this.name).fields.map((field) => field.name);
    return [
      ...own.filter((column) => this.header.includes(column)),
      ...this.header.filter((column) => !own.includes(column)),
    ];
  }

  /** @param except added rows that are left out */
  toCsv(except: ReadonlySet<number> = new Set()): string {
    const columns = this.columns();
    const places = columns.map((column) => this.header.indexOf(column));
    const lines = [csvLine(columns)];
    this.rows.forEach((cells, row) => {
      if (!except.has(row)) lines.push(csvLine(places.map((place) => cells[place] ?? '')));
    });
    return lines.join('');
  }

  #place(column: string): number {
    const index = this.header.indexOf(column);
    return index >= 0 ? index : this.header.push(column) - 1;
  }

  /** The key of the schema; a table without one is told apart by all its own columns. */
  #keyOf(get: (column: string) => string): string {
    const { primaryKey, fields } = tableSchema(this.name);
    const key = primaryKey ?? fields.map((field) => field.name);
    return key.length === 1 ? get(key[0]!) : JSON.stringify(key.map(get));
  }
}

function sameCell(a: string, b: string): boolean {
  return a === b || (a !== '' && b !== '' && Number(a) === Number(b));
}
