import type { ProblemKind } from '../problem.ts';

const NUMBER = /^[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?$/;
const MISSING_WORD =
  /^(?:n\/?a|nan|null|none|nil|missing|unknown|#n\/a|#div\/0!|#value!|#ref!|#num!|[-.?]+)$/i;

/**
 * The number in a cell, spaces around it put aside; NaN when it is not a plain decimal number.
 *
 * @example numberIn('12.5') // 12.5
 * @example numberIn('12,5') // NaN
 */
export function numberIn(text: string): number {
  const trimmed = text.trim();
  if (!NUMBER.test(trimmed)) return Number.NaN;
  const value = Number(trimmed);
  return Number.isFinite(value) ? value : Number.NaN;
}

/** Why a cell is no number, and what to do. */
export function whyNotNumber(text: string, example: string): { kind: ProblemKind; remedy: string } {
  const trimmed = text.trim();
  if (MISSING_WORD.test(trimmed))
    return { kind: 'suspect-missing-code', remedy: 'Leave the cell empty where a number is missing.' };
  return { kind: 'not-a-number', remedy: numberRemedy(trimmed, example) };
}

function numberRemedy(text: string, example: string): string {
  if (NUMBER.test(text)) return 'Write a smaller number; this one is too large to hold.';
  if (/^[+-]?\d{1,3}(?:,\d{3})+$/.test(text))
    return `Write it without the comma: ${text.replaceAll(',', '')}, or ${text.replace(',', '.')} if the comma marks the decimals.`;
  if (/^[+-]?\d*,\d+$/.test(text)) return `Write the decimals after a point: ${text.replace(',', '.')}.`;
  if (/^[\u2212\u2012\u2013\u2014]/.test(text))
    return `Use the ordinary minus sign: -${text.slice(1).trim()}.`;
  const unit = /^([+-]?\d+(?:[.,]\d+)?)\s*[^\d\s.,].*$/.exec(text);
  if (unit?.[1] !== undefined)
    return `Write the number alone: ${unit[1].replace(',', '.')}. The unit stands in the name of the column.`;
  return `Write a number such as ${example}, or leave the cell empty.`;
}
