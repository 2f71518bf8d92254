import type { DataColumns } from '../contract.ts';

/** One column read two ways: as text and, when asked, as numbers. */
export interface DataColumn {
  readonly name: string;
  readonly length: number;
  /** The entry as text, null where missing. */
  readonly text: (row: number) => string | null;
  readonly asNumbers: () => NumberReading;
  readonly asCodes: () => CodedText;
}

/** A text column as whole numbers: row i holds `texts[at[i]]`, or is missing where `at[i]` is -1. */
export interface CodedText {
  readonly at: Int32Array;
  /** Different from each other, in the order in which they first occur. */
  readonly texts: readonly string[];
}

export interface NumberReading {
  /** NaN where missing or not a number. */
  readonly numbers: Float64Array;
  /** Entries that are neither missing nor a number. */
  readonly words: number;
  readonly numeric: number;
  /** 0-based row of the first entry that is not a number, or -1. */
  readonly firstWord: number;
  /** 0-based row of the first infinite entry, or -1. */
  readonly firstInfinity: number;
}

/**
 * Opens a column. Missing are null, undefined, NaN, the empty text and the text NA. Text that spells a number
 * is a number; true and false are 1 and 0 as numbers.
 */
export function readColumn(data: DataColumns, name: string): DataColumn {
  const source = data[name]!;
  let reading: NumberReading | undefined;
  let coded: CodedText | undefined;
  return {
    name,
    length: source.length,
    text: (row) => textOf(source[row]),
    asNumbers() {
      reading ??= source instanceof Float64Array ? readDoubles(source) : readNumbers(source);
      return reading;
    },
    asCodes() {
      coded ??= readCodes(source);
      return coded;
    },
  };
}

function textOf(entry: DataColumns[string][number] | undefined): string | null {
  if (entry === null || entry === undefined || Number.isNaN(entry)) return null;
  const written = typeof entry === 'string' ? entry.trim() : String(entry);
  return isMissing(written) ? null : written;
}

function readCodes(source: DataColumns[string]): CodedText {
  const length = source.length;
  const at = new Int32Array(length);
  const texts: string[] = [];
  const byText = new Map<string, number>();
  // Entries are looked up as they stand, so that each different one is turned into text once.
  const byEntry = new Map<unknown, number>();
  let previous: unknown;
  let code = -1;
  for (let row = 0; row < length; row++) {
    const entry = source[row];
    if (row === 0 || entry !== previous) {
      const found = byEntry.get(entry);
      if (found !== undefined) code = found;
      else {
        const text = textOf(entry);
        code = text === null ? -1 : (byText.get(text) ?? texts.length);
        if (code === texts.length) {
          texts.push(text!);
          byText.set(text!, code);
        }
        byEntry.set(entry, code);
      }
      previous = entry;
    }
    at[row] = code;
  }
  return { at, texts };
}

function readDoubles(source: Float64Array): NumberReading {
  const numbers = source.slice();
  const length = numbers.length;
  let numeric = 0;
  let firstInfinity = -1;
  for (let row = 0; row < length; row++) {
    const value = numbers[row]!;
    if (value - value === 0) numeric++;
    else if (!Number.isNaN(value)) {
      numeric++;
      if (firstInfinity < 0) firstInfinity = row;
    }
  }
  return { numbers, words: 0, numeric, firstWord: -1, firstInfinity };
}

function readNumbers(source: DataColumns[string]): NumberReading {
  const length = source.length;
  const numbers = new Float64Array(length).fill(Number.NaN);
  let words = 0;
  let numeric = 0;
  let firstWord = -1;
  let firstInfinity = -1;
  for (let row = 0; row < length; row++) {
    const entry = source[row];
    if (entry === null || entry === undefined) continue;
    if (typeof entry === 'number') {
      if (Number.isNaN(entry)) continue;
      numbers[row] = entry;
    } else if (typeof entry === 'boolean') {
      numbers[row] = entry ? 1 : 0;
    } else {
      const text = entry.trim();
      if (isMissing(text)) continue;
      const value = Number(text);
      if (Number.isNaN(value)) {
        words++;
        if (firstWord < 0) firstWord = row;
        continue;
      }
      numbers[row] = value;
    }
    numeric++;
    if (firstInfinity < 0 && !Number.isFinite(numbers[row]!)) firstInfinity = row;
  }
  return { numbers, words, numeric, firstWord, firstInfinity };
}

const isMissing = (text: string): boolean => text === '' || text === 'NA';

/** Orders level names: as numbers where both are numbers, otherwise by code unit. The same on every machine. */
export function compareLevels(a: string, b: string): number {
  const x = Number(a);
  const y = Number(b);
  if (!Number.isNaN(x) && !Number.isNaN(y) && x !== y) return x - y;
  return a < b ? -1 : a > b ? 1 : 0;
}
