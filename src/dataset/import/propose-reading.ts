import { type DateOrder, dateParts, hasTwoFigureYear, writtenDate } from './cell-values.ts';
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

type Order = 'day-first' | 'month-first' | 'year-first';

/** The orders in which a date written with figures only can be read; a year of two figures may stand first or last. */
function ordersOf(text: string): readonly Order[] {
  return (['day-first', 'month-first', 'year-first'] as const).filter(
    (order) => writtenDate(text, order, 2000) !== null,
  );
}

/** The order of the figures in dates, told from figures that can be no month or no day; "ask" where none tells. */
export function proposeDateOrder(values: readonly Value[]): {
  readonly order: DateOrder | Ask;
  readonly reason: string;
} {
  const only = new Map<Order, { count: number; line: number }>();
  let [open, counted] = [0, 0];
  const left = new Set<Order>(['day-first', 'month-first', 'year-first']);
  for (const { text, kind, line } of values) {
    if (kind === 'date' || text.trim() === '') continue;
    if (/^\d{5}(?:\.\d+)?$/.test(text.trim())) counted += 1;
    const parts = dateParts(text);
    if (parts === null || parts[0].length === 4) continue;
    const orders = ordersOf(text);
    if (orders.length === 0) continue;
    open += 1;
    for (const order of left) if (!orders.includes(order)) left.delete(order);
    if (orders.length === 1) {
      const seen = only.get(orders[0]!) ?? { count: 0, line };
      only.set(orders[0]!, { ...seen, count: seen.count + 1 });
    }
  }
  const words = (order: Order) => order.replace('-', ' ');
  if (counted > 0 && open === 0)
    return {
      order: ASK,
      reason: `date_order: ${counted} dates are day numbers of a spreadsheet, which counts from 1900 or from 1904`,
    };
  if (open === 0)
    return {
      order: 'year-first',
      reason: 'date_order: the dates have the year first, a named month, or are dates of the workbook',
    };
  if (left.size === 0) {
    const [one, other] = [...only].sort(([, a], [, b]) => a.line - b.line);
    return {
      order: ASK,
      reason:
        one === undefined || other === undefined
          ? 'date_order: no order reads all dates'
          : `date_order: line ${one[1].line} can only be ${words(one[0])} and line ${other[1].line} only ${words(other[0])}`,
    };
  }
  const [order, ...others] = [...left];
  if (others.length > 0)
    return {
      order: ASK,
      reason: `date_order: ${open === 1 ? 'the one date' : `all ${open} dates`} can be read ${left.size === 2 ? 'both ways' : 'in three ways'}: ${[...left].map(words).join(', ')}`,
    };
  const seen = only.get(order!);
  return {
    order: order!,
    reason:
      seen === undefined
        ? `date_order: only ${words(order!)} reads all ${open} dates`
        : `date_order: ${seen.count} of ${open} dates, the first on line ${seen.line}, can only be ${words(order!)}`,
  };
}

/** Which hundred years a year of two figures lies in is nowhere in a sheet, so it is always asked. */
export function proposeTwoFigureYears(values: readonly Value[]): {
  readonly century: Ask | null;
  readonly reason: string | null;
} {
  const short = values.filter(({ text, kind }) => kind !== 'date' && hasTwoFigureYear(text));
  const [first] = short;
  if (first === undefined) return { century: null, reason: null };
  return {
    century: ASK,
    reason: `two_figure_years: ${short.length} ${short.length === 1 ? 'date has' : 'dates have'} a year of two figures, the first on line ${first.line}: ${first.text.trim()}`,
  };
}
