import { checkTables } from '../check-tables.ts';
import type { TableName } from '../generated/rows.ts';
import type { Problem } from '../problem.ts';
import { type ReadTable, TableReader } from '../read/table-reader.ts';
import { isRequired, tableSchema } from '../schema.ts';
import type { Table } from '../table.ts';
import type { GrowingTable } from './growing-table.ts';
import type { ImportProblem } from './import-problem.ts';
import type { Mapping } from './mapping.ts';
import type { EmptiedCell } from './row-records.ts';
import type { Tables, Taken } from './take-rows.ts';

/** Faults of one value that can be mended by leaving the cell empty, and saying so. */
const OF_A_CELL: ReadonlySet<string> = new Set([
  'out-of-range',
  'suspect-missing-code',
  'not-a-number',
  'not-a-date',
  'not-allowed',
]);
/** With more of its values impossible than this, a column is in another unit, or is another column. */
const MOST_EMPTIED = 0.2;
const ENOUGH = 5;

export type CheckedOutcome =
  | { readonly ok: true; readonly warnings: readonly Problem[] }
  | { readonly ok: false; readonly problems: readonly ImportProblem[] };

/**
 * Puts the tables as they would be through the checks of every dataset. A single impossible value of the sheet is left
 * empty and reported; a column that contradicts its unit, sign or convention, a broken key or a fault in what the
 * dataset had before stops the import.
 */
export function checkOutcome(mapping: Mapping, tables: Tables, taken: Taken): CheckedOutcome {
  for (let round = 0; ; round += 1) {
    const read = [...tables.values()].filter(({ header }) => header.length > 0).map(readAgain);
    const checked = checkTables({ tables: read, mayBeEmpty: true });
    const errors = checked.problems.filter(({ severity }) => severity === 'error');
    if (errors.length === 0) return { ok: true, warnings: checked.problems };
    const placeOf = placesBy(tables, read);
    const cells: Cell[] = [];
    const stops: ImportProblem[] = [];
    for (const problem of errors) {
      const cell = cellOfSheet(problem, mapping, placeOf(problem));
      if (cell === null) stops.push(inWords(problem, placeOf(problem)));
      else cells.push(cell);
    }
    stops.push(...tooMany(cells, tables));
    if (stops.length > 0 || round === 3)
      return {
        ok: false,
        problems: stops.length > 0 ? stops : errors.map((problem) => inWords(problem, placeOf(problem))),
      };
    for (const { table, row, column, emptied } of cells) {
      tables.get(table)!.set(row, column, '');
      taken.cells.push(emptied);
    }
  }
}

interface Cell {
  readonly table: TableName;
  readonly row: number;
  readonly column: string;
  readonly emptied: EmptiedCell;
}

interface Place {
  readonly table: TableName;
  readonly row: number;
  readonly line: number | null;
}

/** What finds the row of a table, and the line of the sheet it came from, by the line of a problem. */
function placesBy(tables: Tables, read: readonly ReadTable[]): (problem: Problem) => Place | null {
  const tableBy = new Map<string, Table>(read.map(({ name, table }) => [name, table]));
  return ({ table: name, row: line }) => {
    const row = line === null ? -1 : rowAt(tableBy.get(name), line);
    if (row < 0) return null;
    const table = name as TableName;
    return { table, row, line: tables.get(table)?.sourceLine(row) ?? null };
  };
}

/** The row on a line, or -1; lines only grow. */
function rowAt(table: Table | undefined, line: number): number {
  let [from, to] = [0, (table?.length ?? 0) - 1];
  while (from <= to) {
    const middle = (from + to) >> 1;
    const at = table!.line(middle);
    if (at === line) return middle;
    if (at < line) from = middle + 1;
    else to = middle - 1;
  }
  return -1;
}

/** A table as `loadDataset` will read it from the file that would be written. */
function readAgain(table: GrowingTable): ReadTable {
  const columns = table.columns();
  const reader = new TableReader(table.name, columns);
  let line = 2 + lineBreaks(columns);
  for (const cells of table.cells()) {
    reader.push(cells, line);
    line += 1 + lineBreaks(cells);
  }
  return reader.finish();
}

function lineBreaks(cells: readonly string[]): number {
  let breaks = 0;
  for (const cell of cells) if (/[\n\r]/.test(cell)) breaks += cell.split(/\r\n?|\n/).length - 1;
  return breaks;
}

/** The cell of the sheet that a fault comes from, where leaving it empty mends it; null where it does not. */
function cellOfSheet(problem: Problem, mapping: Mapping, place: Place | null): Cell | null {
  if (place === null || place.line === null || problem.column === null || !OF_A_CELL.has(problem.kind))
    return null;
  const field = tableSchema(place.table).fields.find(({ name }) => name === problem.column);
  const map = mapping.columns.find(({ to }) => to === `${place.table}.${problem.column}`);
  if (field === undefined || isRequired(field) || map === undefined) return null;
  return {
    table: place.table,
    row: place.row,
    column: problem.column,
    emptied: {
      line: place.line,
      column: map.column,
      header: map.header,
      found: problem.found,
      why: `expected ${problem.expected}. ${problem.remedy}`,
      quiet: false,
    },
  };
}

function tooMany(cells: readonly Cell[], tables: Tables): ImportProblem[] {
  const byColumn = new Map<string, Cell[]>();
  for (const cell of cells) {
    const key = `${cell.table}.${cell.column}`;
    const list = byColumn.get(key) ?? [];
    list.push(cell);
    byColumn.set(key, list);
  }
  return [...byColumn].flatMap(([name, bad]): ImportProblem[] => {
    const [first] = bad;
    const table = tables.get(first!.table)!;
    let filled = 0;
    for (let row = table.firstNew; row < table.length; row += 1)
      if (table.get(row, first!.column) !== '') filled += 1;
    if (bad.length < ENOUGH || bad.length <= MOST_EMPTIED * filled) return [];
    return [
      {
        where: `column ${first!.emptied.column} '${first!.emptied.header}'`,
        found: `${bad.length} of ${filled} values that ${name} cannot have, such as ${first!.emptied.found}`,
        expected: first!.emptied.why,
        remedy: 'Correct the unit, the convention or the column in the mapping.',
      },
    ];
  });
}

function inWords(problem: Problem, place: Place | null): ImportProblem {
  const of = problem.column === null ? problem.table : `${problem.table}.${problem.column}`;
  const where =
    problem.row === null
      ? of
      : place?.line == null
        ? `${of}, line ${problem.row} of the dataset`
        : `${of}, from line ${place.line} of the sheet`;
  return { where, found: problem.found, expected: problem.expected, remedy: problem.remedy };
}
