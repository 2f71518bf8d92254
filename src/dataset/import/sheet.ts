import type { SheetRows } from './sheet-rows.ts';

/** What a cell is, as far as its file says so; every cell of a CSV file is text. */
export type CellKind = 'text' | 'number' | 'date' | 'error';

/** A row as it stands in the file. `kinds` is null where the file knows only text. */
export interface SheetRow {
  /** The line of the file, or the number of the row in its sheet, counted from 1. */
  readonly line: number;
  readonly cells: readonly string[];
  readonly kinds: readonly CellKind[] | null;
  readonly hidden: boolean;
}

/** Cells merged into one: rows and columns counted from 1, both ends included. */
export interface Merge {
  readonly rows: readonly [number, number];
  readonly columns: readonly [number, number];
}

export interface Sheet<Rows = readonly SheetRow[]> {
  readonly name: string;
  readonly hidden: boolean;
  /** Rows with something in them, in order. */
  readonly rows: Rows;
  readonly merged: readonly Merge[];
  /** Columns that are hidden, counted from 1. */
  readonly hiddenColumns: readonly number[];
  /** Cells whose value is the one the spreadsheet last worked out from a formula. */
  readonly formulas: number;
}

/** How the bytes of a text file were read. */
export interface TextReading {
  readonly encoding: 'utf-8' | 'utf-16le' | 'utf-16be' | 'windows-1252';
  readonly byteOrderMark: boolean;
}

export type SheetFile =
  | { readonly kind: 'csv'; readonly text: string; readonly reading: TextReading }
  | { readonly kind: 'xlsx'; readonly sheets: readonly Sheet<SheetRows>[] };

export const kindOf = (row: SheetRow, index: number): CellKind => row.kinds?.[index] ?? 'text';
export const cellOf = (row: SheetRow, index: number): string => row.cells[index] ?? '';
