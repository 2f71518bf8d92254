import { type Column, NumberBuilder, TextBuilder } from '../column.ts';
import type { TableName } from '../generated/rows.ts';
import type { Problem } from '../problem.ts';
import { type FieldSchema, isRequired } from '../schema.ts';
import { judgeNumber } from './judge-number.ts';
import { numberIn, whyNotNumber } from './number-cell.ts';
import { type NumberLimits, numberLimits } from './number-limits.ts';

/** A cell of a packed table: text, or typed; null where it is empty. */
export type CellValue = string | number | boolean | null;

/** Takes the cells of one column as text and keeps them; what cannot be read goes to the problems. */
export interface CellReader {
  /** `reportMissing` is false on a row of the wrong length, which is reported as such. */
  read(text: string, line: number, reportMissing: boolean): void;
  /** The same for a cell that may be typed. */
  take(value: CellValue, line: number): void;
  finish(): Column;
}

/** The reader for a column; a column that the schema does not have is kept as text. */
export function cellReader(
  table: TableName,
  column: string,
  field: FieldSchema | undefined,
  problems: Problem[],
): CellReader {
  if (field?.type === 'number' || field?.type === 'integer') return numberReader(table, field, problems);
  if (field?.type === 'boolean') return booleanReader(table, field, problems);
  const builder = new TextBuilder();
  const required = field !== undefined && isRequired(field);
  const read: CellReader['read'] = (text, line, reportMissing) => {
    const missing = required && text.trim() === '';
    if (missing && reportMissing) problems.push(missingValue(table, column, line));
    builder.push(missing ? '' : text);
  };
  return {
    read,
    take: (value, line) => read(writtenOut(value), line, true),
    finish: () => builder.finish(),
  };
}

function numberReader(table: TableName, field: FieldSchema, problems: Problem[]): CellReader {
  const builder = new NumberBuilder();
  const limits = numberLimits(field);
  const required = isRequired(field);
  const keep = (value: number, text: string, line: number) => {
    const fault = numberFault(text, value, field, limits);
    if (fault !== null) problems.push({ table, row: line, column: field.name, found: text, ...fault });
    builder.push(value);
  };
  const read: CellReader['read'] = (text, line, reportMissing) => {
    if (text === '' || text.trim() === '') {
      if (required && reportMissing) problems.push(missingValue(table, field.name, line));
      builder.push(Number.NaN);
    } else keep(numberIn(text), text, line);
  };
  return {
    read,
    take: (value, line) => {
      if (typeof value === 'number' && isOrdinary(value, field, limits)) builder.push(value);
      else read(writtenOut(value), line, true);
    },
    finish: () => builder.finish(),
  };
}

function writtenOut(value: CellValue): string {
  if (value === null) return '';
  return Object.is(value, -0) ? '-0' : String(value);
}

/** Whether nothing can be said against a number, so that it need not be written out to be judged. */
function isOrdinary(value: number, field: FieldSchema, limits: NumberLimits): boolean {
  return judgeNumber(value, limits) === null && (field.type !== 'integer' || Number.isInteger(value));
}

type Fault = Pick<Problem, 'kind' | 'severity' | 'expected' | 'remedy'>;

function numberFault(text: string, value: number, field: FieldSchema, limits: NumberLimits): Fault | null {
  const whole = field.type === 'integer';
  if (Number.isNaN(value)) {
    const expected = whole ? 'a whole number' : 'a number';
    return { severity: 'error', expected, ...whyNotNumber(text, field.example ?? '1') };
  }
  if (field.explicitPlus !== undefined && text.trim().startsWith('+')) {
    const expected = 'a number without a plus sign';
    return { kind: 'suspect-unit', severity: 'error', expected, remedy: field.explicitPlus };
  }
  const judgement = judgeNumber(value, limits);
  if (judgement !== null || !whole || Number.isInteger(value)) return judgement;
  const remedy = 'Write a whole number, without decimals.';
  return { kind: 'not-a-number', severity: 'error', expected: 'a whole number', remedy };
}

function booleanReader(table: TableName, field: FieldSchema, problems: Problem[]): CellReader {
  const builder = new NumberBuilder();
  const trueValues = new Set(field.trueValues);
  const falseValues = new Set(field.falseValues);
  const read: CellReader['read'] = (text, line) => {
    const word = text.trim();
    const value = trueValues.has(word) ? 1 : falseValues.has(word) ? 0 : Number.NaN;
    builder.push(value);
    if (word === '' || !Number.isNaN(value)) return;
    problems.push({
      kind: 'not-allowed',
      severity: 'error',
      table,
      row: line,
      column: field.name,
      found: text,
      expected: 'yes or no',
      remedy: 'Write yes or no, or leave the cell empty.',
    });
  };
  return {
    read,
    take: (value, line) => {
      if (typeof value === 'boolean') builder.push(value ? 1 : 0);
      else read(writtenOut(value), line, true);
    },
    finish: () => builder.finish(),
  };
}

function missingValue(table: TableName, column: string, line: number): Problem {
  return {
    kind: 'missing-value',
    severity: 'error',
    table,
    row: line,
    column,
    found: 'an empty cell',
    expected: 'a value on every row',
    remedy: `Fill in ${column}.`,
  };
}
