import type { FieldSchema } from '../schema.ts';
import { sqlText } from '../sums/sql-text.ts';

/** How a column is held in a packed file. */
export type Holding = 'text' | 'number' | 'integer' | 'boolean' | 'date';

/** What the SQL of a column says of a cell. */
export const CELL = {
  /** Held as it is written, or empty. */
  exact: 0,
  /** Not held by the type without changing what it says. */
  unfit: 1,
  /** Held, but written in another way than this program writes the value, such as 1.50 for 1.5. */
  respelled: 2,
  /** Held; the engine and this program write numbers so large or small in different ways, so SQL cannot tell. */
  doubtful: 3,
  /** -0, as this program writes it, and in another way: held, but not among numbers that are looked up by value. */
  minusZero: 4,
  respelledMinusZero: 5,
} as const;

/** SQL over one cell as text, null where it is empty. */
export interface HoldingSql {
  /** One of `CELL`; null for text, which holds everything. */
  readonly verdict: string | null;
  readonly value: string;
}

/** The type that a field asks for; a column that the schema does not have is text. */
export function holdingOf(field: FieldSchema | undefined): Holding {
  return field === undefined || field.type === 'string' ? 'text' : field.type;
}

/** What the reader of cells takes for a number; `numberIn` beside it has the same pattern. */
const NUMBER = sqlText('[+-]?(\\d+\\.?\\d*|\\.\\d+)([eE][+-]?\\d+)?');
/** Whole numbers up to here are exact as floating-point numbers. */
const LARGEST_WHOLE = 2 ** 53;

/** The SQL for a cell; `cell` is a column of text. */
export function holdingSql(holding: Holding, cell: string, field: FieldSchema | undefined): HoldingSql {
  switch (holding) {
    case 'text':
      return { verdict: null, value: cell };
    case 'number':
      return numberSql(cell, field);
    case 'integer':
      return integerSql(cell, field);
    case 'boolean':
      return booleanSql(cell, field);
    case 'date': {
      const value = `TRY_CAST(${cell} AS DATE)`;
      // The engine also reads 2026-3-4 as a date, and knows years before the first: only what it writes itself is held as one.
      const same = `CAST(${value} AS VARCHAR) = ${cell} AND length(${cell}) = 10`;
      return { value, verdict: verdict(cell, [[same, 'exact']], 'unfit') };
    }
  }
}

/** The branches are gone through one after the other, only for the cells still left, so the cheap ones come first. */
function verdict(
  cell: string,
  branches: readonly (readonly [condition: string, verdict: keyof typeof CELL])[],
  otherwise: keyof typeof CELL,
): string {
  const whens = branches.map(([condition, is]) => `WHEN ${condition} THEN ${CELL[is]}`);
  return `CASE WHEN ${cell} IS NULL THEN ${CELL.exact} ${whens.join(' ')} ELSE ${CELL[otherwise]} END`;
}

const isBlank = (cell: string) => `trim(${cell}) = ''`;

/** What is no number, whatever the type of number: by its spelling, or a plus where a plus may mean something else. */
function isNoNumber(cell: string, field: FieldSchema | undefined): string {
  const plus = field?.explicitPlus === undefined ? '' : ` OR starts_with(trim(${cell}), '+')`;
  return `NOT regexp_full_match(trim(${cell}), ${NUMBER})${plus}`;
}

function numberSql(cell: string, field: FieldSchema | undefined): HoldingSql {
  const value = `TRY_CAST(${cell} AS DOUBLE)`;
  const written = `CAST(${value} AS VARCHAR)`;
  return {
    value,
    verdict: verdict(
      cell,
      [
        // The engine writes 20 as 20.0.
        [`${written} = ${cell} AND NOT ends_with(${cell}, '.0') AND isfinite(${value})`, 'exact'],
        [`${cell} = '-0'`, 'minusZero'],
        [`${written} = '-0.0'`, 'respelledMinusZero'],
        [`${written} = ${cell} || '.0'`, 'exact'],
        [isBlank(cell), 'respelled'],
        [`${isNoNumber(cell, field)} OR NOT coalesce(isfinite(${value}), false)`, 'unfit'],
        [`abs(${value}) >= 1e15 OR (abs(${value}) < 1e-4 AND ${value} <> 0)`, 'doubtful'],
      ],
      'respelled',
    ),
  };
}

function integerSql(cell: string, field: FieldSchema | undefined): HoldingSql {
  const whole = `TRY_CAST(${cell} AS BIGINT)`;
  const number = `TRY_CAST(${cell} AS DOUBLE)`;
  const isWhole = `coalesce(abs(${number}) <= ${LARGEST_WHOLE} AND ${number} = trunc(${number}), false)`;
  // -0 is a number of its own here, which a whole number cannot be.
  const isMinusZero = `(${number} = 0 AND starts_with(trim(${cell}), '-'))`;
  return {
    value: `TRY_CAST(${number} AS BIGINT)`,
    verdict: verdict(
      cell,
      [
        [`CAST(${whole} AS VARCHAR) = ${cell} AND abs(${whole}) <= ${LARGEST_WHOLE}`, 'exact'],
        [isBlank(cell), 'respelled'],
        [`${isNoNumber(cell, field)} OR NOT ${isWhole} OR ${isMinusZero}`, 'unfit'],
      ],
      'respelled',
    ),
  };
}

function booleanSql(cell: string, field: FieldSchema | undefined): HoldingSql {
  const list = (words: readonly string[] = []) => `(${words.map(sqlText).join(', ')})`;
  const [yes, no] = [list(field?.trueValues), list(field?.falseValues)];
  const text = `trim(${cell})`;
  return {
    value: `CASE WHEN ${text} IN ${yes} THEN true WHEN ${text} IN ${no} THEN false END`,
    verdict: verdict(
      cell,
      [
        [`${cell} IN ('yes', 'no')`, 'exact'],
        [`${isBlank(cell)} OR ${text} IN ${yes} OR ${text} IN ${no}`, 'respelled'],
      ],
      'unfit',
    ),
  };
}
