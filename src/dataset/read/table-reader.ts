import { type Column, IntegerBuilder } from '../column.ts';
import type { TableName } from '../generated/rows.ts';
import type { Problem } from '../problem.ts';
import { tableSchema } from '../schema.ts';
import { Table } from '../table.ts';
import { type CellReader, type CellValue, cellReader } from './cell-readers.ts';
import { checkHeader } from './header.ts';

/** A table that was read, with what was wrong with its header and its numbers. */
export interface ReadTable {
  readonly name: TableName;
  readonly table: Table;
  readonly problems: readonly Problem[];
}

/** Takes a table row by row as text and keeps it by columns; every cell that cannot be read is a problem. */
export class TableReader {
  readonly #name: TableName;
  readonly #header: readonly string[];
  readonly #problems: Problem[] = [];
  readonly #readers: readonly (CellReader | null)[];
  readonly #columnNames: readonly (string | null)[];
  readonly #unnamedReported = new Set<number>();
  readonly #lines = new IntegerBuilder();

  constructor(name: TableName, header: readonly string[]) {
    this.#name = name;
    this.#header = header;
    const { columns, problems } = checkHeader(name, header);
    this.#columnNames = columns;
    this.#problems.push(...problems);
    const fields = new Map(tableSchema(name).fields.map((field) => [field.name, field]));
    this.#readers = columns.map((column) =>
      column === null ? null : cellReader(name, column, fields.get(column), this.#problems),
    );
  }

  /** One row; `line` is the line of the file it starts on. A row of empty cells is passed over. */
  push(cells: readonly string[], line: number): void {
    if (cells.every((cell) => cell === '')) return;
    const whole = cells.length === this.#header.length;
    if (!whole) this.#reportRagged(cells, line);
    for (let index = 0; index < this.#header.length; index += 1) {
      const reader = this.#readers[index];
      if (reader) reader.read(cells[index] ?? '', line, whole);
      else if (cells[index] && this.#header[index]!.trim() === '')
        this.#reportUnnamed(index, cells[index]!, line);
    }
    this.#lines.push(line);
  }

  /**
   * Rows of a packed table: `columns[c][r]` is a cell of the header's column c, typed where the file holds it typed. A row
   * of empty cells is passed over.
   */
  pushColumns(columns: readonly (readonly CellValue[])[], lines: Int32Array): void {
    const rows: number[] = [];
    for (let row = 0; row < lines.length; row += 1)
      if (columns.some((cells) => cells[row] !== null)) rows.push(row);
    columns.forEach((cells, index) => {
      const reader = this.#readers[index];
      if (reader) for (const row of rows) reader.take(cells[row]!, lines[row]!);
    });
    for (const row of rows) this.#lines.push(lines[row]!);
  }

  finish(): ReadTable {
    const columns = new Map<string, Column>();
    this.#columnNames.forEach((column, index) => {
      const reader = this.#readers[index];
      if (column !== null && reader) columns.set(column, reader.finish());
    });
    const lines = this.#lines.finish();
    return {
      name: this.#name,
      table: new Table(this.#name, columns, lines.length, lines),
      problems: this.#problems,
    };
  }

  #reportRagged(cells: readonly string[], line: number): void {
    this.#problems.push({
      kind: 'ragged-row',
      severity: 'error',
      table: this.#name,
      row: line,
      column: null,
      found: `${cells.length} cells`,
      expected: `${this.#header.length} cells, as in the header`,
      remedy:
        cells.length > this.#header.length
          ? 'Put double quotes round a cell that has a comma in it, or take away the cells at the end that have no header.'
          : 'Add the cells that are missing; an empty cell still needs its comma.',
    });
  }

  #reportUnnamed(index: number, found: string, line: number): void {
    if (this.#unnamedReported.has(index)) return;
    this.#unnamedReported.add(index);
    this.#problems.push({
      kind: 'missing-column',
      severity: 'error',
      table: this.#name,
      row: line,
      column: null,
      found,
      expected: `a name in the header for column ${index + 1}, which has values`,
      remedy: 'Give the column a name of its own in the header, or take the column away.',
    });
  }
}
