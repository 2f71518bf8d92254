import { shortLabel } from './escape.ts';

/** Numbers as a person reads them: sensible digits, a real minus sign, units. Machine values stay as they are. */

const minus = '\u2212';

/**
 * How many decimals a value deserves when it is known to about `uncertainty`: two figures of the uncertainty,
 * at most `most` and never negative.
 * @example decimalsFor(3.1) // 1
 */
export function decimalsFor(uncertainty: number | null, most = 4): number {
  if (uncertainty === null || !Number.isFinite(uncertainty) || uncertainty <= 0) return 1;
  return Math.min(most, Math.max(0, 1 - Math.floor(Math.log10(uncertainty))));
}

/**
 * A number in figures; `null` and what is not finite become a dash. A value that rounds to zero has no sign.
 * @example formatNumber(-3.24159, 1) // '−3.2'
 */
export function formatNumber(value: number | null | undefined, decimals = 1): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return '–';
  const size = Math.abs(value);
  if (size >= 1e9 || (size > 0 && size < 1e-6)) return value.toExponential(2).replaceAll('-', minus);
  const text = size.toFixed(Math.min(20, decimals));
  const grouped = size >= 10_000 ? text.replace(/\B(?=(\d{3})+(?!\d))(?<!\.\d*)/g, '\u202f') : text;
  return value < 0 && Number(text) !== 0 ? minus + grouped : grouped;
}

/**
 * As {@link formatNumber}, with a plus sign where the number is above zero: for changes and differences.
 *
 * @example formatChange(3.14, 1) // '+3.1'
 * @example formatChange(0.04, 1) // '0.0'
 */
export function formatChange(value: number | null | undefined, decimals = 1): string {
  const text = formatNumber(value, decimals);
  return value !== null && value !== undefined && Number.isFinite(value) && value > 0 && /[1-9]/.test(text)
    ? `+${text}`
    : text;
}

/** Units of the catalogue that are not written as they are named. */
const knownUnits: Readonly<Record<string, string>> = {
  '%': '%',
  ratio: '',
  'yes/no': ' of all swings',
  'rating 1 to 5': ' rating points',
};

/**
 * A unit as it follows a number, with the space it needs.
 * @example unitSuffix('deg') // '°'
 */
export function unitSuffix(unit: string): string {
  if (unit === '' || unit === '1') return '';
  if (unit.length > 40) return `\u00a0${shortLabel(unit, 40)}`;
  const known = knownUnits[unit];
  if (known !== undefined) return known;
  if (/^deg(ree)?s?$/.test(unit)) return '°';
  const rest = unit
    .replace(/(\d) deg\b/g, '$1°')
    .replace(/\bper deg\b/g, 'per degree')
    // A line ends before "per", never after it.
    .replace(/\bper /g, 'per\u00a0');
  if (/^deg\b/.test(rest)) return rest.replace(/^deg/, '°');
  // A long unit may go to the next line; held to its number it would be broken within a word.
  return `${rest.length > 8 ? ' ' : '\u00a0'}${rest}`;
}

/**
 * A unit in brackets behind the title of an axis, or nothing where there is none.
 * @example inUnit('deg') // ' (°)'
 */
export function inUnit(unit: string): string {
  const suffix = unitSuffix(unit).trim();
  return suffix === '' ? '' : ` (${suffix})`;
}

/** No marker and no print resolves a millionth of a degree: what is smaller is rounding, and shown as none. */
function resolved<T extends number | null | undefined>(value: T, unit: string): T | 0 {
  return typeof value === 'number' && /^deg(ree)?s?$/.test(unit) && Math.abs(value) < 1e-6 ? 0 : value;
}

/**
 * A number with its unit, held together; a dash alone where there is no number.
 *
 * @param unit as the catalogue of metrics names it
 * @example formatQuantity(6.24, 'deg') // '6.2°'
 * @example formatQuantity(-12, 'ms', 0) // '−12\u00a0ms'
 * @example formatQuantity(null, 'ms') // '–'
 */
export function formatQuantity(value: number | null | undefined, unit: string, decimals = 1): string {
  const text = formatNumber(resolved(value, unit), decimals);
  return text === '–' ? text : text + unitSuffix(unit);
}

/**
 * An interval with its unit; one open end (null or infinite) is said in words, and two are a dash.
 *
 * @param signed whether a plus sign stands before what is above zero, as for a change
 * @example formatInterval([3.1, 9.26], 'deg') // '+3.1 to +9.3°'
 * @example formatInterval([null, 9.26], 'deg', 1, false) // 'up to 9.3°'
 */
export function formatInterval(
  interval: readonly [number | null, number | null] | null,
  unit: string,
  decimals = 1,
  signed = true,
): string {
  const show = signed ? formatChange : formatNumber;
  const [low, high] = (interval ?? [null, null]).map((end) =>
    end !== null && Number.isFinite(end) ? resolved(end, unit) : null,
  ) as [number | null, number | null];
  if (low === null && high === null) return '–';
  if (low === null) return `up to ${show(high, decimals)}${unitSuffix(unit)}`;
  if (high === null) return `${show(low, decimals)}${unitSuffix(unit)} or more`;
  return `${show(low, decimals)} to ${show(high, decimals)}${unitSuffix(unit)}`;
}

/** `95%` from 0.95; `99.9%` from 0.999. */
export function formatLevel(level: number): string {
  return `${Number((level * 100).toFixed(2))}%`;
}

/** A count with its noun: `1 golfer`, `12 golfers`. */
export function formatCount(count: number, one: string, many = `${one}s`): string {
  return `${formatNumber(count, 0)} ${count === 1 ? one : many}`;
}
