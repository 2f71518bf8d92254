import type { CodedText, DataColumn } from './data-column.ts';

export interface KeptRows {
  /** 0-based. */
  readonly rows: Int32Array;
  /** Rows are numbered from 1 here. */
  readonly leftOut: readonly { readonly row: number; readonly why: string }[];
  readonly kept: {
    readonly rows: number;
    numbers(column: string): Float64Array;
    texts(column: string): readonly string[];
    codes(column: string): CodedText;
  };
}

/**
 * The rows in which every column has a value and every factor one of its `allowed` levels; the others are listed
 * with all their reasons.
 */
export function keepRows(
  length: number,
  numberColumns: readonly DataColumn[],
  textColumns: readonly DataColumn[],
  allowed: ReadonlyMap<string, ReadonlySet<string>>,
): KeptRows {
  const numeric = numberColumns.map(({ name, asNumbers }) => ({ name, numbers: asNumbers().numbers }));
  const coded = textColumns.map(({ name, asCodes }) => {
    const { at, texts } = asCodes();
    const limit = allowed.get(name);
    return { name, at, texts, refused: limit ? texts.map((text) => !limit.has(text)) : null };
  });
  const out = new Uint8Array(length);
  let dropped = 0;
  const drop = (row: number): void => {
    if (out[row] === 0) dropped++;
    out[row] = 1;
  };
  for (const { numbers } of numeric)
    for (let row = 0; row < length; row++) if (Number.isNaN(numbers[row]!)) drop(row);
  for (const { at, refused } of coded)
    for (let row = 0; row < length; row++) if (at[row]! < 0 || refused?.[at[row]!]) drop(row);
  const reasons = (row: number): string =>
    [
      ...numeric.flatMap(({ name, numbers }) => (Number.isNaN(numbers[row]!) ? [`${name} is missing`] : [])),
      ...coded.flatMap(({ name, at, texts, refused }) => {
        const code = at[row]!;
        if (code < 0) return [`${name} is missing`];
        return refused?.[code]
          ? [`${name} is ${texts[code]}, which is not among the levels of the model`]
          : [];
      }),
    ].join('; ');
  const leftOut: { row: number; why: string }[] = [];
  const rows = new Int32Array(length - dropped);
  let next = 0;
  for (let row = 0; row < length; row++)
    if (out[row] === 0) rows[next++] = row;
    else leftOut.push({ row: row + 1, why: reasons(row) });
  const numbersOf = new Map<string, Float64Array>();
  for (const { name, numbers } of numeric)
    numbersOf.set(name, dropped === 0 ? numbers : Float64Array.from(rows, (row) => numbers[row]!));
  const codesOf = new Map<string, CodedText>();
  for (const { name, at, texts } of coded)
    codesOf.set(name, dropped === 0 ? { at, texts } : presentCodes(rows, at, texts));
  const textsOf = new Map<string, readonly string[]>();
  return {
    rows,
    leftOut,
    kept: {
      rows: rows.length,
      numbers: (column) => numbersOf.get(column)!,
      codes: (column) => codesOf.get(column)!,
      texts(column) {
        let written = textsOf.get(column);
        if (!written) {
          const { at, texts } = codesOf.get(column)!;
          written = Array.from(at, (code) => texts[code]!);
          textsOf.set(column, written);
        }
        return written;
      },
    },
  };
}

/** The codes of some rows, without the texts that none of them holds. */
function presentCodes(rows: Int32Array, at: Int32Array, texts: readonly string[]): CodedText {
  const renamed = new Int32Array(texts.length).fill(-1);
  const present: string[] = [];
  const codes = new Int32Array(rows.length);
  for (let i = 0; i < rows.length; i++) {
    const code = at[rows[i]!]!;
    if (renamed[code]! < 0) {
      renamed[code] = present.length;
      present.push(texts[code]!);
    }
    codes[i] = renamed[code]!;
  }
  return { at: codes, texts: present };
}
