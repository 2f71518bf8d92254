import { type DateOrder, dateParts } from './cell-values.ts';
import { ASK, type Ask } from './mapping.ts';
import type { CellKind } from './sheet.ts';

interface Value {
  readonly text: string;
  readonly kind: CellKind;
  readonly line: number;
}

/** The decimal mark, told from the numbers that are written as text; "ask" where they could have either. */
export function proposeDecimal(values: Iterable<Value>): {
  readonly decimal: '.' | ',' | Ask;
  readonly reason: string;
} {
  let [points, commas, thousands] = [0, 0, 0];
  let example = '';
  for (const { text, kind } of values) {
    if (kind !== 'text') continue;
    const number = /^[+\u2212-]?\d*([.,])(\d+)\s*(?:[^\d\s.,]\D*)?$/.exec(text.trim());
    if (number === null) continue;
    if (number[1] === '.') points += 1;
    else if (number[2]!.length === 3) thousands += 1;
    else commas += 1;
    if (number[1] === ',' && example === '') example = text.trim();
  }
  if (commas > 0 && points === 0)
    return {
      decimal: ',',
      reason: `decimal: ${commas + thousands} numbers have a comma, such as ${example}, and none a point`,
    };
  if (commas > 0)
    return {
      decimal: ASK,
      reason: `decimal: ${commas} numbers have a comma, such as ${example}, and ${points} a point`,
    };
  if (thousands > 0 && points === 0)
    return {
      decimal: ASK,
      reason: `decimal: ${example} may be a whole number with a mark of thousands, or have three decimals`,
    };
  return {
    decimal: '.',
    reason:
      points > 0
        ? `decimal: ${points} numbers have a point`
        : 'decimal: no number is written with decimals as text',
  };
}

/** The order of the figures in dates, told from a day above twelve; "ask" where none tells. */
export function proposeDateOrder(values: readonly Value[]): {
  readonly order: DateOrder | Ask;
  readonly reason: string;
} {
  let [dayFirst, monthFirst, either, counted] = [0, 0, 0, 0];
  let [dayLine, monthLine] = [0, 0];
  for (const { text, kind, line } of values) {
    if (kind === 'date' || text.trim() === '') continue;
    if (/^\d{5}(?:\.\d+)?$/.test(text.trim())) counted += 1;
    const parts = dateParts(text);
    if (parts === null || parts[0].length === 4) continue;
    const [a, b] = [Number(parts[0]), Number(parts[1])];
    if (a > 12 && b <= 12) {
      dayFirst += 1;
      dayLine ||= line;
    } else if (b > 12 && a <= 12) {
      monthFirst += 1;
      monthLine ||= line;
    } else either += 1;
  }
  if (counted > 0 && dayFirst + monthFirst + either === 0)
    return {
      order: ASK,
      reason: `date_order: ${counted} dates are day numbers of a spreadsheet, which counts from 1900 or from 1904`,
    };
  if (dayFirst > 0 && monthFirst > 0)
    return {
      order: ASK,
      reason: `date_order: line ${dayLine} can only be day first and line ${monthLine} only month first`,
    };
  if (dayFirst > 0)
    return {
      order: 'day-first',
      reason: `date_order: ${dayFirst} dates, the first on line ${dayLine}, have a first figure above 12`,
    };
  if (monthFirst > 0)
    return {
      order: 'month-first',
      reason: `date_order: ${monthFirst} dates, the first on line ${monthLine}, have a second figure above 12`,
    };
  if (either > 0) return { order: ASK, reason: `date_order: all ${either} dates can be read both ways` };
  return {
    order: 'year-first',
    reason: 'date_order: the dates have the year first, a named month, or are dates of the workbook',
  };
}
