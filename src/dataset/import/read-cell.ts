import { judgeNumber } from '../read/judge-number.ts';
import {
  type DateOrder,
  hasTwoFigureYear,
  secondsOf,
  timeBehindDate,
  timeOfDay,
  writtenDate,
  writtenNumber,
} from './cell-values.ts';
import type { ColumnMap, Mapping } from './mapping.ts';
import { serialDate } from './serial-date.ts';
import type { CellKind } from './sheet.ts';
import { type Target, targetOf } from './targets.ts';
import { convertUnit } from './units.ts';

/** A cell as the table will have it, or why it is left empty. `quiet` tells a word for missing from a fault. */
export type ReadCell =
  | { readonly ok: true; readonly text: string; readonly time?: string }
  | { readonly ok: false; readonly why: string; readonly quiet: boolean };

const missing = (why: string, quiet = false): ReadCell => ({ ok: false, why, quiet });

/** How the cells of one column are read, by the mapping. */
export function cellReaderFor(
  map: ColumnMap,
  reading: Mapping['reading'],
): (text: string, kind: CellKind) => ReadCell {
  const target = targetOf(map.to ?? '');
  if (target === undefined)
    throw new Error(`cellReaderFor: there is no column '${map.to}'. Check the mapping first.`);
  const missingWords = new Set(reading.missing.map((word) => word.toLowerCase()));
  const decimal = reading.decimal === ',' ? ',' : '.';
  const read = (text: string, kind: CellKind): ReadCell => {
    if (target.name === 'swings.time_of_day') return readTime(text, kind);
    switch (target.field.type) {
      case 'number':
      case 'integer':
        return readNumber(text, kind, map, target, kind === 'number' ? '.' : decimal);
      case 'date':
        return readDate(text, kind, reading);
      default:
        return { ok: true, text: map.words?.find(({ written }) => written === text)?.means ?? text };
    }
  };
  return (raw, kind) => {
    const text = raw.trim();
    if (text === '') return { ok: true, text: '' };
    // A CSV file keeps the error of a cell as its text.
    if (kind === 'error' || /^#(?:N\/A|DIV\/0!|VALUE!|REF!|NAME\?|NUM!|NULL!)$/i.test(text))
      return missing(`an error of the sheet (${text}), so the value is missing`);
    if (missingWords.has(text.toLowerCase())) return missing(`'${text}' stands for a missing value`, true);
    return read(text, kind);
  };
}

function readNumber(
  text: string,
  kind: CellKind,
  map: ColumnMap,
  { unit, limits }: Target,
  decimal: '.' | ',',
): ReadCell {
  const number = writtenNumber(text, decimal);
  if (kind === 'date')
    return missing('a date where a number should be; the sheet may have changed 4.3 into a day');
  if (number === null)
    return missing(`no number with ${decimal === '.' ? 'a point' : 'a comma'} before the decimals`);
  const from = map.unit ?? unit;
  if (number.unit !== null && number.unit !== from)
    return missing(`its unit is ${number.unit}, that of the column ${from ?? 'none'}`);
  let value = from === null || unit === null ? number.value : convertUnit(number.value, from, unit);
  if (map.convention === 'included-angle') value = Number((180 - value).toPrecision(15));
  if (map.convention === 'opposite-sign') value = -value;
  // -999 or 9999 is no longer to be seen as a code for missing once it has been converted.
  const isCode = limits !== null && judgeNumber(number.value, limits)?.kind === 'suspect-missing-code';
  if (isCode && value !== number.value && judgeNumber(value, limits) !== null)
    return missing('it looks like a code for a missing value');
  return { ok: true, text: String(Object.is(value, -0) ? 0 : value) };
}

function readDate(text: string, kind: CellKind, reading: Mapping['reading']): ReadCell {
  const order = reading.date_order as DateOrder;
  if (order === 'counted-1900' || order === 'counted-1904') {
    const counted =
      /^\d+(?:\.\d+)?$/.test(text) && kind !== 'date'
        ? serialDate(Number(text), order === 'counted-1904')
        : null;
    if (counted !== null) return dated(counted);
  }
  if (kind === 'date') return dated(text);
  const century = typeof reading.two_figure_years === 'number' ? reading.two_figure_years : null;
  const date = writtenDate(text, order, century);
  if (date === null && century === null && hasTwoFigureYear(text))
    return missing('a year of two figures, and the mapping does not say which hundred years are meant');
  if (date === null) return missing(`no date, read ${order.replace('-', ' ')}`);
  return { ok: true, text: date.date, ...(date.time === null ? {} : { time: date.time }) };
}

/** A date as a workbook's cell gives it: YYYY-MM-DD, with or without a time. */
function dated(text: string): ReadCell {
  const date = writtenDate(text, 'year-first', null);
  return date === null
    ? missing('a time of day without a date')
    : { ok: true, text: date.date, ...(date.time === null ? {} : { time: date.time }) };
}

function readTime(text: string, kind: CellKind): ReadCell {
  const alone = kind === 'number' && Number(text) < 1 ? (serialDate(Number(text), false) ?? text) : text;
  const time = timeOfDay(alone) ?? timeBehindDate(alone);
  return time === null || !Number.isFinite(secondsOf(time))
    ? missing('no time of day')
    : { ok: true, text: time };
}
