import { checkColumnUnits } from './checks/column-units.ts';
import { checkCopies } from './checks/copies.ts';
import { checkDateOrder } from './checks/dates.ts';
import { checkForeignKeys, checkPrimaryKey, checkSwingOrder } from './checks/keys.ts';
import { checkRelations } from './checks/relations.ts';
import { checkPaths, checkPractice } from './checks/rows.ts';
import { checkSpellings } from './checks/spellings.ts';
import { checkTexts } from './checks/texts.ts';
import { completeTables, type Dataset, type InputFile, newestDate } from './dataset.ts';
import { TABLE_NAMES, type TableName } from './generated/rows.ts';
import type { Checked, Problem } from './problem.ts';
import type { ReadTable } from './read/table-reader.ts';
import { REQUIRED_TABLES, tableSchema } from './schema.ts';
import type { Table } from './table.ts';

/** What a dataset is checked and made from. */
export interface ReadTables {
  readonly tables: readonly ReadTable[];
  readonly files?: readonly InputFile[];
  readonly title?: string | null;
  /** Faults found before the tables were read: files, descriptor. */
  readonly problems?: readonly Problem[];
  /** Collecting may not have begun: golfers, sessions and swings may be absent or without rows. */
  readonly mayBeEmpty?: boolean;
}

/**
 * Checks tables that were read, each by itself and against each other, and makes a dataset of them.
 * Every problem is found in one pass; one error or more makes the outcome invalid. Problems are in the
 * order of the tables, then of the lines.
 *
 * @example checkTables({ tables: [] }).valid // false: golfers, sessions and swings are missing
 */
export function checkTables(read: ReadTables): Checked<Dataset> {
  const given = new Map<TableName, Table>(read.tables.map(({ name, table }) => [name, table]));
  const tables = completeTables(given);
  const found = [
    ...(read.problems ?? []),
    ...(read.mayBeEmpty === true ? [] : absentTables(given, read.problems ?? [])),
    ...read.tables.flatMap((one) => one.problems),
    ...[...given.values()].flatMap((table) => [
      ...checkTexts(table),
      ...(hasKey(table) ? checkPrimaryKey(table) : []),
      ...checkSpellings(table),
      ...checkForeignKeys(table, given),
    ]),
    ...checkColumnUnits(tables.golfers, () => true),
    ...checkColumnUnits(tables.practice, () => true),
    ...checkColumnUnits(tables.swings, fullSwings(tables.swings)),
    ...checkRelations(tables.swings),
    ...checkSwingOrder(tables.swings),
    ...checkCopies(tables.swings),
    ...checkDateOrder(tables),
    ...checkPractice(tables.practice),
    ...checkPaths(tables.captures),
  ];
  const problems = inOrder(found);
  if (problems.some(({ severity }) => severity === 'error')) return { valid: false, problems };
  const dataset: Dataset = {
    tables,
    given: TABLE_NAMES.filter((name) => given.has(name)),
    files: read.files ?? [],
    title: read.title ?? null,
    newestDate: newestDate(tables),
  };
  return { valid: true, value: dataset, problems };
}

function hasKey(table: Table): boolean {
  return (tableSchema(table.name).primaryKey ?? []).every((column) => table.has(column));
}

function fullSwings(swings: Table<'swings'>): (index: number) => boolean {
  const task = swings.text('task');
  return (index) => task[index] === 'full';
}

/** Faults of a file as a whole: the table is known to be missing because of them. */
const FILE_FAULTS: ReadonlySet<string> = new Set([
  'missing-file',
  'empty-file',
  'unreadable-file',
  'bad-descriptor',
]);

/** Tables that must be there and are not, or have no rows. */
function absentTables(given: ReadonlyMap<TableName, Table>, known: readonly Problem[]): Problem[] {
  const reported = new Set(known.filter(({ kind }) => FILE_FAULTS.has(kind)).map(({ table }) => table));
  return REQUIRED_TABLES.filter((name) => !reported.has(name)).flatMap((name): Problem[] => {
    const table = given.get(name);
    if (table !== undefined && table.length > 0) return [];
    const at = { severity: 'error', table: name, row: null, column: null } as const;
    return table === undefined
      ? [
          {
            ...at,
            kind: 'missing-file',
            found: `no ${name}.csv`,
            expected: `${name}.csv. ${tableSchema(name).description}`,
            remedy: `Add ${name}.csv; 'init' writes an empty one with the right columns.`,
          },
        ]
      : [
          {
            ...at,
            kind: 'empty-file',
            found: 'a header and no rows',
            expected: tableSchema(name).description,
            remedy: `Fill in ${name}.csv.`,
          },
        ];
  });
}

function inOrder(problems: readonly Problem[]): Problem[] {
  const rank = (name: string) => {
    const index = TABLE_NAMES.indexOf(name as TableName);
    return index < 0 ? -1 : index;
  };
  return problems
    .map((problem, place) => ({ problem, place }))
    .sort(
      (a, b) =>
        rank(a.problem.table) - rank(b.problem.table) ||
        (a.problem.row ?? 0) - (b.problem.row ?? 0) ||
        a.place - b.place,
    )
    .map(({ problem }) => inKeyOrder(problem));
}

/** The same problem with its properties in one order, so that what is printed is always the same bytes. */
function inKeyOrder({ kind, severity, table, row, column, found, expected, remedy }: Problem): Problem {
  return { kind, severity, table, row, column, found, expected, remedy };
}
