import { csvLine } from '../csv-write.ts';
import type { TableName } from '../generated/rows.ts';
import type { Problem } from '../problem.ts';
import { delimiterFault, eachCsvRow } from '../read/csv-text.ts';
import { hashOfText, hashWith, RowsByHash } from '../rows-by-hash.ts';
import { tableSchema } from '../schema.ts';
import { GrowingIntegers } from './growing-integers.ts';
import { TextPool } from './text-pool.ts';

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

type Fault = Pick<Problem, 'row' | 'found' | 'expected' | 'remedy'>;

const WRITTEN_AT_ONCE = 2 ** 20;

/**
 * A table to which rows are added, cell by cell as text: what stands there already keeps its very characters. A cell takes
 * four bytes and its text is held once or as bytes, so that a million rows stay far below a gigabyte.
 */
export class GrowingTable {
  readonly name: TableName;
  readonly header: string[] = [];
  /** Rows from here on were added. */
  readonly firstNew: number;
  /** What keeps the file as it stands from being a table; rows would be lost if it were written again. */
  readonly faults: readonly Fault[];
  changed = false;
  readonly #placeOf = new Map<string, number>();
  readonly #pool = new TextPool();
  readonly #columns: GrowingIntegers[] = [];
  #length = 0;
  readonly #key: readonly string[];
  readonly #rowsByKey = new RowsByHash();
  readonly #sources = new GrowingIntegers();

  /** @param text the CSV file as it stands, or null where there is none */
  constructor(name: TableName, text: string | null) {
    this.name = name;
    const { primaryKey, fields } = tableSchema(name);
    // A table without a key is told apart by all its own columns.
    this.#key = primaryKey ?? fields.map((field) => field.name);
    this.faults = text === null ? [] : this.#read(text);
    this.firstNew = this.#length;
    for (let row = 0; row < this.#length; row += 1)
      this.#rowsByKey.add(
        this.#hash((column) => this.get(row, column)),
        row,
      );
  }

  get length(): number {
    return this.#length;
  }

  get(row: number, column: string): string {
    const place = this.#placeOf.get(column);
    return place === undefined ? '' : this.#pool.text(this.#columns[place]!.at(row));
  }

  set(row: number, column: string, text: string): void {
    this.#columns[this.#place(column)]!.set(row, this.#pool.add(text));
    this.changed = true;
  }

  /** The row with this key, for a table whose key is one column. */
  rowOf(key: string): number | undefined {
    return this.#find(() => key);
  }

  /** @param except a column that is not compared */
  standing(values: RowValues, except?: string): Standing {
    const row = this.#find((column) => values.get(column) ?? '');
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
    const row = this.#length;
    this.#length += 1;
    for (const [column, text] of values) this.#columns[this.#place(column)]!.set(row, this.#pool.add(text));
    this.#rowsByKey.add(
      this.#hash((column) => values.get(column) ?? ''),
      row,
    );
    this.#sources.set(row - this.firstNew, line);
    this.changed = true;
    return row;
  }

  /** The line of the sheet an added row came from, or null. */
  sourceLine(row: number): number | null {
    return row < this.firstNew || row >= this.#length ? null : this.#sources.at(row - this.firstNew);
  }

  /** Columns of the schema in its order, then the others. */
  columns(): readonly string[] {
    return this.#places().map((place) => this.header[place]!);
  }

  /** The cells of each row in turn, in the order of {@link columns}. */
  *cells(): IterableIterator<readonly string[]> {
    const columns = this.#places().map((place) => this.#columns[place]!);
    for (let row = 0; row < this.#length; row += 1)
      yield columns.map((codes) => this.#pool.text(codes.at(row)));
  }

  /** The table as CSV, a megabyte at a time. */
  *csv(): IterableIterator<string> {
    let waiting = csvLine(this.columns());
    for (const cells of this.cells()) {
      waiting += csvLine(cells);
      if (waiting.length < WRITTEN_AT_ONCE) continue;
      yield waiting;
      waiting = '';
    }
    yield waiting;
  }

  #read(text: string): readonly Fault[] {
    const faults: Fault[] = [];
    const otherMark = delimiterFault(text);
    if (otherMark !== null) return [otherMark];
    let width: number | null = null;
    const fault = eachCsvRow(text, (cells, line) => {
      if (width === null) {
        width = cells.length;
        for (const column of cells) this.#newColumn(column);
      } else if (cells.some((cell) => cell !== '')) {
        if (cells.length !== width) faults.push(otherWidth(line, cells.length, width));
        const row = this.#length;
        this.#length += 1;
        for (let place = 0; place < Math.min(width, cells.length); place += 1)
          this.#columns[place]!.set(row, this.#pool.add(cells[place]!));
      }
    });
    return fault === null ? faults : [fault];
  }

  #place(column: string): number {
    return this.#placeOf.get(column) ?? this.#newColumn(column);
  }

  #newColumn(column: string): number {
    const place = this.header.push(column) - 1;
    this.#columns.push(new GrowingIntegers());
    if (!this.#placeOf.has(column)) this.#placeOf.set(column, place);
    return place;
  }

  #places(): readonly number[] {
    const own = tableSchema(this.name).fields.flatMap(({ name }) => this.#placeOf.get(name) ?? []);
    const isOwn = new Set(own);
    return [...own, ...this.header.map((_, place) => place).filter((place) => !isOwn.has(place))];
  }

  #find(keyOf: (column: string) => string): number | undefined {
    const row = this.#rowsByKey.find(this.#hash(keyOf), (one) =>
      this.#key.every((column) => this.get(one, column) === keyOf(column)),
    );
    return row < 0 ? undefined : row;
  }

  #hash(keyOf: (column: string) => string): number {
    return this.#key.reduce((hash, column) => hashWith(hash, hashOfText(keyOf(column))), 17);
  }
}

function otherWidth(row: number, found: number, expected: number): Fault {
  return {
    row,
    found: `${found} cells`,
    expected: `${expected} cells, as in the header`,
    remedy: "Mend the table first; 'check' lists all that is wrong with it.",
  };
}

function sameCell(a: string, b: string): boolean {
  return a === b || (a !== '' && b !== '' && Number(a) === Number(b));
}
