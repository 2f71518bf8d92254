import type { DataColumn } from './data-column.ts';

export interface KeptRows {
  /** 0-based. */
  readonly rows: Int32Array;
  /** Rows are numbered from 1 here. */
  readonly leftOut: readonly { readonly row: number; readonly why: string }[];
  readonly kept: {
    readonly rows: number;
    numbers(column: string): Float64Array;
    texts(column: string): readonly string[];
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
  const texts = textColumns.map(({ text }) => Array.from({ length }, (_, row) => text(row)));
  const limits = textColumns.map(({ name }) => allowed.get(name) ?? null);
  const out = new Uint8Array(length);
  for (const { numbers } of numeric)
    for (let row = 0; row < length; row++) if (Number.isNaN(numbers[row]!)) out[row] = 1;
  texts.forEach((column, c) => {
    const limit = limits[c]!;
    for (let row = 0; row < length; row++) {
      const text = column[row]!;
      if (text === null || (limit !== null && !limit.has(text))) out[row] = 1;
    }
  });
  const reasons = (row: number): string =>
    [
      ...numeric.flatMap(({ name, numbers }) => (Number.isNaN(numbers[row]!) ? [`${name} is missing`] : [])),
      ...textColumns.flatMap(({ name }, c) => {
        const text = texts[c]![row]!;
        if (text === null) return [`${name} is missing`];
        return limits[c]?.has(text) === false
          ? [`${name} is ${text}, which is not among the levels of the model`]
          : [];
      }),
    ].join('; ');
  const leftOut: { row: number; why: string }[] = [];
  const rows: number[] = [];
  for (let row = 0; row < length; row++)
    if (out[row] === 0) rows.push(row);
    else leftOut.push({ row: row + 1, why: reasons(row) });
  const whole = rows.length === length;
  const kept = Int32Array.from(rows);
  const numbersOf = new Map<string, Float64Array>();
  for (const { name, numbers } of numeric)
    numbersOf.set(name, whole ? numbers : Float64Array.from(kept, (row) => numbers[row]!));
  const textsOf = new Map<string, readonly string[]>();
  textColumns.forEach(({ name }, c) => {
    // Kept rows have no gaps.
    const column = texts[c]! as string[];
    textsOf.set(name, whole ? column : rows.map((row) => column[row]!));
  });
  return {
    rows: kept,
    leftOut,
    kept: {
      rows: rows.length,
      numbers: (column) => numbersOf.get(column)!,
      texts: (column) => textsOf.get(column)!,
    },
  };
}
