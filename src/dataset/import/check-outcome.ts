import { checkTables } from '../check-tables.ts';
import type { TableName } from '../generated/rows.ts';
import type { Problem } from '../problem.ts';
import { readCsvTable } from '../read/read-csv.ts';
import { isRequired, tableSchema } from '../schema.ts';
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
  | { readonly ok: true; readonly csv: ReadonlyMap<TableName, string>; readonly warnings: readonly Problem[] }
  | { readonly ok: false; readonly problems: readonly ImportProblem[] };

/**
 * Puts the tables as they would be through the checks of every dataset. A single impossible value of the sheet is left
 * empty and reported; a column that contradicts its unit, sign or convention, a broken key or a fault in what the
 * dataset had before stops the import.
 */
export function checkOutcome(mapping: Mapping, tables: Tables, taken: Taken): CheckedOutcome {
  for (let round = 0; ; round += 1) {
    const csv = new Map(
      [...tables]
        .filter(([, table]) => table.header.length > 0)
        .map(([name, table]) => [name, table.toCsv()]),
    );
    const read = [...csv].map(([name, text]) => readCsvTable(name, new TextEncoder().encode(text)));
    const checked = checkTables({
      tables: read.flatMap((one) => (one.read === null ? [] : [one.read])),
      problems: read.flatMap(({ problems }) => problems),
      mayBeEmpty: true,
    });
    const errors = checked.problems.filter(({ severity }) => severity === 'error');
    if (errors.length === 0) return { ok: true, csv, warnings: checked.problems };
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

type Read = readonly ReturnType<typeof readCsvTable>[];

interface Place {
  readonly table: TableName;
  readonly row: number;
  readonly line: number | null;
}

/** What finds the row of a table, and the line of the sheet it came from, by the line of a problem. */
function placesBy(tables: Tables, read: Read): (problem: Problem) => Place | null {
  const rowBy = new Map<string, ReadonlyMap<number, number>>();
  for (const { read: one } of read) {
    const lines = new Map<number, number>();
    for (let row = 0; row < (one?.table.length ?? 0); row += 1) lines.set(one!.table.line(row), row);
    if (one !== null) rowBy.set(one.name, lines);
  }
  return ({ table: name, row: line }) => {
    const row = line === null ? undefined : rowBy.get(name)?.get(line);
    if (row === undefined) return null;
    const table = name as TableName;
    return { table, row, line: tables.get(table)?.sourceLine(row) ?? null };
  };
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
    for (let row = table.firstNew; row < table.rows.length; row += 1)
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
