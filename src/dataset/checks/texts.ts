import type { TextColumn } from '../column.ts';
import type { Problem } from '../problem.ts';
import { dateRemedy, isDate } from '../read/date-cell.ts';
import { nearest } from '../read/nearest.ts';
import { numberIn } from '../read/number-cell.ts';
import { type FieldSchema, tableSchema } from '../schema.ts';
import type { Table } from '../table.ts';

type Fault = Pick<Problem, 'kind' | 'severity' | 'expected' | 'remedy'>;

const CONTROL = /(?![\t\n\r])\p{Cc}/u;
const INVISIBLE = /\p{Cf}/u;
const FORMULA = /^[=+@\t\r-]/;

/** Every text and date column of a table: allowed words, lengths, dates, characters that do harm. */
export function checkTexts(table: Table): Problem[] {
  const fields = new Map(tableSchema(table.name).fields.map((field) => [field.name, field]));
  return table.columnNames.flatMap((column) => {
    const stored = table.stored(column);
    if (stored?.kind !== 'text') return [];
    return checkColumn(table, column, stored, fields.get(column));
  });
}

function checkColumn(
  table: Table,
  column: string,
  stored: TextColumn,
  field: FieldSchema | undefined,
): Problem[] {
  const faults = stored.levels.map((text) => faultOf(text, field));
  if (faults.every((fault) => fault === null)) return [];
  const problems: Problem[] = [];
  stored.codes.forEach((code, index) => {
    const fault = code < 0 ? null : faults[code];
    if (fault)
      problems.push({
        table: table.name,
        row: table.line(index),
        column,
        found: stored.levels[code]!,
        ...fault,
      });
  });
  return problems;
}

/** The first fault of a text, worst first. */
function faultOf(text: string, field: FieldSchema | undefined): Fault | null {
  if (CONTROL.test(text))
    return {
      kind: 'not-allowed',
      severity: 'error',
      expected: 'text that can be seen',
      remedy: 'Type the cell again: it holds control characters that no keyboard writes.',
    };
  if (field === undefined) return looksLikeFormula(text) ? formula : null;
  return field.type === 'date' ? dateFault(text, field) : (wordFault(text, field) ?? harmFault(text, field));
}

function dateFault(text: string, field: FieldSchema): Fault | null {
  if (!isDate(text))
    return {
      kind: 'not-a-date',
      severity: 'error',
      expected: 'a date as year-month-day',
      remedy: dateRemedy(text),
    };
  const { minimum = '', maximum = '9999' } = field.constraints ?? {};
  if (text >= String(minimum) && text <= String(maximum)) return null;
  return {
    kind: 'out-of-range',
    severity: 'error',
    expected: `a date from ${minimum} to ${maximum}`,
    remedy: 'Correct the year.',
  };
}

function wordFault(text: string, field: FieldSchema): Fault | null {
  const { enum: allowed, maxLength, pattern } = field.constraints ?? {};
  if (allowed !== undefined && !allowed.includes(text)) return wordNotAllowed(text, allowed, 'error');
  if (maxLength !== undefined && text.length > maxLength)
    return {
      kind: 'not-allowed',
      severity: 'error',
      expected: `at most ${maxLength} characters; this has ${text.length}`,
      remedy: 'Use a shorter word or code.',
    };
  if (pattern !== undefined && !new RegExp(pattern, 'u').test(text)) return patternFault(text, field);
  if (field.knownValues !== undefined && !field.knownValues.includes(text))
    return wordNotAllowed(text, field.knownValues, 'warning');
  return null;
}

function wordNotAllowed(text: string, allowed: readonly string[], severity: Fault['severity']): Fault {
  const initial = allowed.filter((word) => word.startsWith(text.trim().toLowerCase()));
  const meant = initial.length === 1 ? initial[0]! : nearest(text, allowed);
  return {
    kind: 'not-allowed',
    severity,
    expected: `one of: ${allowed.join(', ')}`,
    remedy:
      meant === null
        ? `Use one of these words, letter for letter: ${allowed.join(', ')}.`
        : `Write ${meant}, if that is what is meant.`,
  };
}

function patternFault(text: string, field: FieldSchema): Fault {
  const trimmed = text.trim();
  if (trimmed !== text)
    return {
      kind: 'not-allowed',
      severity: 'error',
      expected: 'no space at the start or end',
      remedy: `Take the spaces away: ${trimmed}.`,
    };
  return {
    kind: 'not-allowed',
    severity: 'error',
    expected: field.description,
    remedy: `Write it like this example: ${field.example ?? ''}.`,
  };
}

/** A sign before a plain number is no formula. */
function looksLikeFormula(text: string): boolean {
  return FORMULA.test(text) && Number.isNaN(numberIn(text));
}

const formula: Fault = {
  kind: 'not-allowed',
  severity: 'warning',
  expected: 'a text that does not begin with = + - or @',
  remedy: 'A spreadsheet may run this as a formula. Begin the text with a letter or a digit.',
};

function harmFault(text: string, field: FieldSchema): Fault | null {
  if (INVISIBLE.test(text))
    return {
      kind: 'not-allowed',
      severity: field.constraints?.pattern === undefined ? 'warning' : 'error',
      expected: 'no invisible characters',
      remedy: 'Type the cell again: it holds a character that cannot be seen, so it will not match.',
    };
  if (looksLikeFormula(text)) return formula;
  if (/[\n\r\t]/.test(text) || text.trim() !== text)
    return {
      kind: 'not-allowed',
      severity: 'warning',
      expected: 'one line, with no space at the start or end',
      remedy:
        'Take the line breaks, tabs and outer spaces away, so that the same word is always the same text.',
    };
  return null;
}
