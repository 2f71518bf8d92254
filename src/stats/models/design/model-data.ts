import type { DataColumns, Model, ModelProblem } from '../contract.ts';
import { closestName } from './closest-name.ts';
import type { Factor } from './coding.ts';
import { columnsNamed, type NamedColumn } from './columns-named.ts';
import { compareLevels, type DataColumn, readColumn } from './data-column.ts';
import type { KeptData } from './fixed-columns.ts';
import { keepRows } from './kept-rows.ts';

/** The rows that are kept and what they hold, or what stands in the way. */
export interface ModelData {
  readonly kept: KeptData;
  /** 0-based rows of the data that are kept. */
  readonly rows: Int32Array;
  readonly leftOut: readonly { readonly row: number; readonly why: string }[];
  readonly notes: readonly string[];
}

/**
 * The columns a model names that are not among `names`, and what may have been meant; empty where all are there.
 *
 * @example
 * unknownColumns({ outcome: 'leen', fixed: ['intercept'] }, ['lean', 'phase'])[0]
 * // { kind: 'unknown-column', where: '/outcome', found: 'leen', expected: 'a column of the data: lean, phase', remedy: 'Correct the name or add the column; perhaps lean was meant.' }
 */
export function unknownColumns(model: Model, names: readonly string[]): ModelProblem[] {
  return columnsNamed(model).flatMap(({ column, where }): ModelProblem[] => {
    if (names.includes(column)) return [];
    const meant = closestName(column, names);
    return [
      {
        kind: 'unknown-column',
        where,
        found: column,
        expected: `a column of the data: ${names.slice(0, 40).join(', ')}${names.length > 40 ? ', ...' : ''}`,
        remedy: `Correct the name or add the column${meant === null ? '' : `; perhaps ${meant} was meant`}.`,
      },
    ];
  });
}

/**
 * Reads the columns a model names, decides which are factors, and drops the rows in which one of them is missing
 * (each is listed with its 1-based number and the reason).
 *
 * A column is a factor when its term gives `levels` (or a coding), or when none of its entries is a number; then
 * its levels are taken in the order of their names, and a note says so. Rows whose level is not among the
 * `levels` given are left out.
 */
export function readModelData(model: Model, data: DataColumns): ModelData | readonly ModelProblem[] {
  const problems: ModelProblem[] = [];
  const notes: string[] = [];
  const named = columnsNamed(model);
  problems.push(...unknownColumns(model, Object.keys(data)));
  if (problems.length > 0) return problems;

  const columns = new Map<string, DataColumn>();
  for (const { column } of named) if (!columns.has(column)) columns.set(column, readColumn(data, column));
  const length = columns.get(model.outcome)!.length;
  for (const { column, where } of named)
    if (columns.get(column)!.length !== length)
      problems.push({
        kind: 'bad-model',
        where,
        found: `${columns.get(column)!.length} entries in ${column}`,
        expected: `${length}, as many as ${model.outcome} has`,
        remedy: 'Hand in columns of equal length.',
      });
  if (problems.length > 0) return problems;

  const given = new Map<
    string,
    { levels: readonly string[] | null; coding: Factor['coding']; where: string }
  >();
  model.fixed.forEach((term, t) => {
    if (term === 'intercept' || !('column' in term)) return;
    const { levels = null, coding } = term as { levels?: readonly string[]; coding?: Factor['coding'] };
    if (levels === null && coding === undefined) return;
    given.set(term.column, { levels, coding: coding ?? 'reference', where: `/fixed/${t}` });
  });
  const isFactor = new Map<string, string>();
  for (const { column, where, role } of named) {
    if (role === 'text') continue;
    const { text } = columns.get(column)!;
    const read = columns.get(column)!.asNumbers();
    if (role === 'number or factor' && (given.has(column) || (read.words > 0 && read.numeric === 0))) {
      if (!isFactor.has(column)) isFactor.set(column, where);
      continue;
    }
    if (read.words > 0)
      problems.push({
        kind: 'not-a-number',
        where,
        found: `"${text(read.firstWord)}" in ${column}, data row ${read.firstWord + 1}${read.words > 1 ? ` (and ${read.words - 1} more)` : ''}`,
        expected: 'a number, or nothing where it is missing',
        remedy:
          role === 'number'
            ? 'Correct the entry or leave it empty.'
            : `Correct the entry, or name the term's levels if ${column} is a factor.`,
      });
    if (read.firstInfinity >= 0)
      problems.push({
        kind: 'not-a-number',
        where,
        found: `an infinite value in ${column}, data row ${read.firstInfinity + 1}`,
        expected: 'finite numbers',
        remedy: 'Correct the entry or leave it empty.',
      });
  }
  if (problems.length > 0) return problems;

  const unique = (list: readonly NamedColumn[]) =>
    [...new Set(list.map(({ column }) => column))].map((column) => columns.get(column)!);
  const allowed = new Map<string, ReadonlySet<string>>();
  for (const [column, { levels }] of given)
    if (levels && isFactor.has(column)) allowed.set(column, new Set(levels));
  const { rows, leftOut, kept } = keepRows(
    length,
    unique(
      named.filter(({ role, column }) => role === 'number' || (role !== 'text' && !isFactor.has(column))),
    ),
    unique(
      named.filter(({ role, column }) => role === 'text' || (role !== 'number' && isFactor.has(column))),
    ),
    allowed,
  );
  if (rows.length === 0)
    return [
      {
        kind: 'no-rows',
        where: '/',
        found:
          length === 0
            ? 'data without rows'
            : `every row has something missing; the first: ${leftOut[0]!.why}`,
        expected: 'rows in which every column of the model has a value',
        remedy: 'Fill the gaps, or take the columns that are mostly empty out of the model.',
      },
    ];

  const factors = new Map<string, Factor>();
  for (const [column, where] of isFactor) {
    const declared = given.get(column);
    const present = [...kept.codes(column).texts].sort(compareLevels);
    const levels = declared?.levels ?? present;
    const absent = levels.filter((level) => !present.includes(level));
    if (present.length < 2)
      problems.push({
        kind: 'one-level',
        where,
        found: `only ${present[0]} in ${column}, in the rows that can be used`,
        expected: 'at least two levels',
        remedy: 'Take the term out: a column that never changes explains nothing.',
      });
    else if (absent.length > 0)
      problems.push({
        kind: 'bad-model',
        where: `${declared?.where ?? where}/levels`,
        found: `${absent.join(', ')}, which no usable row of ${column} has`,
        expected: `levels that occur: ${present.slice(0, 20).join(', ')}`,
        remedy: 'Correct the spelling of the level or take it out.',
      });
    if (!declared?.levels)
      notes.push(`The levels of ${column} were taken in the order of their names: ${levels.join(', ')}.`);
    factors.set(column, { column, levels, coding: declared?.coding ?? 'reference' });
  }
  (model.random ?? []).forEach((term, t) => {
    term.effects.forEach((effect, e) => {
      if (typeof effect === 'string' || !('level' in effect)) return;
      if (!kept.codes(effect.column).texts.includes(effect.level))
        problems.push({
          kind: 'bad-model',
          where: `/random/${t}/effects/${e}/level`,
          found: effect.level,
          expected: `a level of ${effect.column} that occurs`,
          remedy: 'Correct the spelling of the level.',
        });
    });
  });
  if (problems.length > 0) return problems;
  return {
    kept: { ...kept, factor: (column) => factors.get(column) ?? null },
    rows,
    leftOut,
    notes,
  };
}
