import { GrowingIntegers } from './growing-integers.ts';
import type { CellKind, SheetRow } from './sheet.ts';
import { TextPool } from './text-pool.ts';

/** The text of a cell, and what the file says it is. */
export interface SheetCell {
  readonly text: string;
  readonly kind: CellKind;
}

const MOST_SHARED = 65_536;
const KINDS: readonly CellKind[] = ['text', 'number', 'date', 'error'];

/** The rows of a sheet, a number of four bytes for each cell, made into rows again as they are asked for. */
export class SheetRows implements Iterable<SheetRow> {
  #pool = new TextPool();
  #codes = new GrowingIntegers();
  /** Whether cells have kinds; a CSV file's have none. */
  #kinds: GrowingIntegers | null = null;
  #starts = new GrowingIntegers();
  /** How many cells the row has; those that are empty at its end are not kept. */
  #widths = new GrowingIntegers();
  #lines = new GrowingIntegers();
  readonly #hidden = new Set<number>();
  /** The rows in the order of their lines, where they did not come in it. */
  #order: Int32Array | null = null;

  /** How many cells the rows have, the empty ones among them. */
  slots = 0;

  get length(): number {
    return this.#lines.length;
  }

  /** Rows come in the order of their lines, or `sort` is called after the last. */
  push({ line, cells, kinds, hidden }: SheetRow): void {
    let filled = cells.length;
    while (filled > 0 && cells[filled - 1] === '') filled -= 1;
    if (hidden) this.#hidden.add(this.length);
    this.#starts.push(this.#codes.length);
    this.#widths.push(cells.length);
    this.slots += cells.length;
    if (kinds !== null) this.#kinds ??= new GrowingIntegers();
    for (let index = 0; index < filled; index += 1) {
      const at = this.#codes.length;
      this.#codes.push(this.#pool.add(cells[index]!));
      const kind = kinds?.[index];
      if (kind !== undefined && kind !== 'text') this.#kinds!.set(at, KINDS.indexOf(kind));
    }
    this.#lines.push(line);
  }

  /** Puts the rows into the order of their lines. */
  sort(): void {
    const { length } = this;
    let isSorted = true;
    for (let row = 1; row < length && isSorted; row += 1)
      isSorted = this.#lines.at(row - 1) <= this.#lines.at(row);
    if (isSorted) return;
    const order = Array.from({ length }, (_, row) => row);
    order.sort((a, b) => this.#lines.at(a) - this.#lines.at(b));
    this.#order = Int32Array.from(order);
  }

  /** Gives the memory of all rows back before anything else that is large is made; there are none afterwards. */
  release(): void {
    this.#pool = new TextPool();
    this.#codes = new GrowingIntegers();
    this.#kinds = null;
    this.#starts = new GrowingIntegers();
    this.#widths = new GrowingIntegers();
    this.#lines = new GrowingIntegers();
    this.#order = null;
  }

  line(index: number): number {
    return this.#lines.at(this.#placeOf(index));
  }

  isHidden(index: number): boolean {
    return this.#hidden.has(this.#placeOf(index));
  }

  /** The text of one cell; empty where the row has none. */
  cell(index: number, column: number): string {
    const at = this.#cellAt(this.#placeOf(index), column);
    return at < 0 ? '' : this.#pool.text(this.#codes.at(at));
  }

  kind(index: number, column: number): CellKind {
    const at = this.#kinds === null ? -1 : this.#cellAt(this.#placeOf(index), column);
    return at < 0 ? 'text' : KINDS[this.#kinds!.at(at)]!;
  }

  /** The cells of a column in the rows at these places; those alike may be one object. */
  column(column: number, places: Iterable<number>): readonly SheetCell[] {
    const cells: SheetCell[] = [];
    const kept: SheetCell[][] = KINDS.map(() => []);
    for (const index of places) {
      const at = this.#cellAt(this.#placeOf(index), column);
      const code = at < 0 ? 0 : this.#codes.at(at);
      const kind = at < 0 ? 0 : (this.#kinds?.at(at) ?? 0);
      const known = kept[kind]![code];
      if (known !== undefined) cells.push(known);
      else {
        const cell = { text: this.#pool.text(code), kind: KINDS[kind]! };
        if (code < MOST_SHARED) kept[kind]![code] = cell;
        cells.push(cell);
      }
    }
    return cells;
  }

  row(index: number): SheetRow {
    const place = this.#placeOf(index);
    const [start, end] = [this.#starts.at(place), this.#endOf(place)];
    const width = this.#widths.at(place);
    const cells = new Array<string>(width).fill('');
    const kinds = this.#kinds === null ? null : new Array<CellKind>(width).fill('text');
    for (let at = start; at < end; at += 1) {
      cells[at - start] = this.#pool.text(this.#codes.at(at));
      if (kinds !== null) kinds[at - start] = KINDS[this.#kinds!.at(at)]!;
    }
    return { line: this.#lines.at(place), cells, kinds, hidden: this.#hidden.has(place) };
  }

  /** The place of the first row at this line or below it. */
  from(line: number): number {
    let index = 0;
    while (index < this.length && this.line(index) < line) index += 1;
    return index;
  }

  /** The rows at places from `start` up to, and not with, `end`. */
  *between(start: number, end: number = this.length): IterableIterator<SheetRow> {
    for (let index = start; index < Math.min(end, this.length); index += 1) yield this.row(index);
  }

  [Symbol.iterator](): IterableIterator<SheetRow> {
    return this.between(0);
  }

  /** As that of an array. */
  some(is: (row: SheetRow) => boolean): boolean {
    for (const row of this) if (is(row)) return true;
    return false;
  }

  /** As that of an array. */
  flatMap<Made>(make: (row: SheetRow) => readonly Made[]): Made[] {
    const made: Made[] = [];
    for (const row of this) for (const one of make(row)) made.push(one);
    return made;
  }

  #placeOf(index: number): number {
    return this.#order === null ? index : this.#order[index]!;
  }

  #endOf(place: number): number {
    return place + 1 < this.length ? this.#starts.at(place + 1) : this.#codes.length;
  }

  #cellAt(place: number, column: number): number {
    const at = this.#starts.at(place) + column;
    return at < this.#endOf(place) ? at : -1;
  }
}
