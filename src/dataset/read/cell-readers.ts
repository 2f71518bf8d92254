import { type Column, NumberBuilder, TextBuilder } from '../column.ts';
import type { TableName } from '../generated/rows.ts';
import type { Problem } from '../problem.ts';
import { type FieldSchema, isRequired } from '../schema.ts';
import { judgeNumber } from './judge-number.ts';
import { numberIn, whyNotNumber } from './number-cell.ts';
import { type NumberLimits, numberLimits } from './number-limits.ts';

/** Takes the cells of one column as text and keeps them; what cannot be read goes to the problems. */
export interface CellReader {
  /** `reportMissing` is false on a row of the wrong length, which is reported as such. */
  read(text: string, line: number, reportMissing: boolean): void;
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
  return {
    read: (text, line, reportMissing) => {
      const missing = required && text.trim() === '';
      if (missing && reportMissing) problems.push(missingValue(table, column, line));
      builder.push(missing ? '' : text);
    },
    finish: () => builder.finish(),
  };
}

function numberReader(table: TableName, field: FieldSchema, problems: Problem[]): CellReader {
  const builder = new NumberBuilder();
  const limits = numberLimits(field);
  const required = isRequired(field);
  return {
    read: (text, line, reportMissing) => {
      if (text === '' || text.trim() === '') {
        if (required && reportMissing) problems.push(missingValue(table, field.name, line));
        builder.push(Number.NaN);
        return;
      }
      const value = numberIn(text);
      const fault = numberFault(text, value, field, limits);
      if (fault !== null) problems.push({ table, row: line, column: field.name, found: text, ...fault });
      builder.push(value);
    },
    finish: () => builder.finish(),
  };
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
  return {
    read: (text, line) => {
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
