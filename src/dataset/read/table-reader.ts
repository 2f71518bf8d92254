import { type Column, NumberBuilder, TextBuilder } from '../column.ts';
import type { TableName } from '../generated/rows.ts';
import type { Problem } from '../problem.ts';
import { type FieldSchema, isRequired, tableSchema } from '../schema.ts';
import { Table } from '../table.ts';
import { checkHeader } from './header.ts';
import { judgeNumber } from './judge-number.ts';
import { numberIn, whyNotNumber } from './number-cell.ts';
import { type NumberLimits, numberLimits } from './number-limits.ts';

/** A table that was read, with what was wrong with its header and its numbers. */
export interface ReadTable {
  readonly name: TableName;
  readonly table: Table;
  readonly problems: readonly Problem[];
}

interface CellReader {
  read(text: string, line: number, report: boolean): void;
  finish(): Column;
}

/** Takes a table row by row as text and keeps it by columns; every cell that cannot be read is a problem. */
export class TableReader {
  readonly #name: TableName;
  readonly #header: readonly string[];
  readonly #problems: Problem[] = [];
  readonly #readers: readonly (CellReader | null)[];
  readonly #columnNames: readonly (string | null)[];
  readonly #unnamedReported = new Set<number>();
  #lines = new Int32Array(256);
  #length = 0;

  constructor(name: TableName, header: readonly string[]) {
    this.#name = name;
    this.#header = header;
    const { columns, problems } = checkHeader(name, header);
    this.#columnNames = columns;
    this.#problems.push(...problems);
    const fields = new Map(tableSchema(name).fields.map((field) => [field.name, field]));
    this.#readers = columns.map((column) =>
      column === null ? null : this.#reader(column, fields.get(column)),
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
    if (this.#length === this.#lines.length) {
      const larger = new Int32Array(2 * this.#length);
      larger.set(this.#lines);
      this.#lines = larger;
    }
    this.#lines[this.#length] = line;
    this.#length += 1;
  }

  finish(): ReadTable {
    const columns = new Map<string, Column>();
    this.#columnNames.forEach((column, index) => {
      const reader = this.#readers[index];
      if (column !== null && reader) columns.set(column, reader.finish());
    });
    const lines = this.#lines.slice(0, this.#length);
    return {
      name: this.#name,
      table: new Table(this.#name, columns, this.#length, lines),
      problems: this.#problems,
    };
  }

  #reader(column: string, field: FieldSchema | undefined): CellReader {
    if (field?.type === 'number' || field?.type === 'integer') return this.#numberReader(field);
    if (field?.type === 'boolean') return this.#booleanReader(field);
    const builder = new TextBuilder();
    const required = field !== undefined && isRequired(field);
    return {
      read: (text, line, report) => {
        if (text === '' && required && report) this.#reportMissing(column, line);
        builder.push(text);
      },
      finish: () => builder.finish(),
    };
  }

  #numberReader(field: FieldSchema): CellReader {
    const builder = new NumberBuilder();
    const limits = numberLimits(field);
    return {
      read: (text, line, report) => {
        if (text.trim() === '') {
          if (isRequired(field) && report) this.#reportMissing(field.name, line);
          builder.push(Number.NaN);
          return;
        }
        builder.push(this.#number(text, field, limits, line));
      },
      finish: () => builder.finish(),
    };
  }

  #number(text: string, field: FieldSchema, limits: NumberLimits, line: number): number {
    const value = numberIn(text);
    const at = { table: this.#name, row: line, column: field.name, found: text };
    if (Number.isNaN(value)) {
      const expected = field.type === 'integer' ? 'a whole number' : 'a number';
      this.#problems.push({
        ...at,
        severity: 'error',
        expected,
        ...whyNotNumber(text, field.example ?? '1'),
      });
      return value;
    }
    if (field.explicitPlus !== undefined && text.trim().startsWith('+')) {
      const expected = 'a number without a plus sign';
      this.#problems.push({
        ...at,
        kind: 'suspect-unit',
        severity: 'error',
        expected,
        remedy: field.explicitPlus,
      });
      return value;
    }
    const judgement = judgeNumber(value, limits);
    if (judgement !== null) this.#problems.push({ ...at, ...judgement });
    else if (field.type === 'integer' && !Number.isInteger(value))
      this.#problems.push({
        ...at,
        kind: 'not-a-number',
        severity: 'error',
        expected: 'a whole number',
        remedy: 'Write a whole number, without decimals.',
      });
    return value;
  }

  #booleanReader(field: FieldSchema): CellReader {
    const builder = new NumberBuilder();
    const trueValues = new Set(field.trueValues);
    const falseValues = new Set(field.falseValues);
    return {
      read: (text, line) => {
        const word = text.trim();
        if (word === '') builder.push(Number.NaN);
        else if (trueValues.has(word)) builder.push(1);
        else if (falseValues.has(word)) builder.push(0);
        else {
          builder.push(Number.NaN);
          this.#problems.push({
            kind: 'not-allowed',
            severity: 'error',
            table: this.#name,
            row: line,
            column: field.name,
            found: text,
            expected: 'yes or no',
            remedy: 'Write yes or no, or leave the cell empty.',
          });
        }
      },
      finish: () => builder.finish(),
    };
  }

  #reportMissing(column: string, line: number): void {
    this.#problems.push({
      kind: 'missing-value',
      severity: 'error',
      table: this.#name,
      row: line,
      column,
      found: 'an empty cell',
      expected: 'a value on every row',
      remedy: `Fill in ${column}.`,
    });
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
