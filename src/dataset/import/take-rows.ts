import type { TableName } from '../generated/rows.ts';
import type { GrowingTable, RowValues } from './growing-table.ts';
import type { ImportProblem } from './import-problem.ts';
import type { JoinClock } from './join-clock.ts';
import { type Joinable, joinable, joinRows } from './join-rows.ts';
import { LineKeys } from './line-keys.ts';
import type { Mapping } from './mapping.ts';
import { type EmptiedCell, rowReader } from './row-records.ts';
import type { SheetRow } from './sheet.ts';

export interface LeftOutRow {
  readonly line: number;
  readonly why: string;
  /** Whether the mapping says so, and the row has no fault. */
  readonly asTold?: true;
}

/** What became of each row of the sheet. Each line is in exactly one of the lists. */
export interface Taken {
  /** Each became a row of the mapping's table. */
  readonly imported: LineKeys;
  readonly joined: { readonly line: number; readonly swing: string; readonly secondsApart: number | null }[];
  readonly alreadyThere: LineKeys;
  readonly leftOut: LeftOutRow[];
  readonly cells: EmptiedCell[];
  /** Swings of the dataset, in sessions of the sheet, for which the sheet has no row. */
  readonly unmatchedSwings: string[];
  /** What was added to the clock of a sheet joined by time, or null. */
  clock: JoinClock | null;
  /** What was left as the dataset has it, though the sheet says otherwise. */
  readonly kept: {
    readonly line: number;
    readonly table: TableName;
    readonly column: string;
    readonly has: string;
  }[];
  readonly problems: ImportProblem[];
}

export type Tables = ReadonlyMap<TableName, GrowingTable>;

/** Reads every row of the sheet and adds it to the tables, or says why not. */
export function takeRows(mapping: Mapping, rows: Iterable<SheetRow>, columns: number, tables: Tables): Taken {
  const taken: Taken = {
    imported: new LineKeys(),
    joined: [],
    alreadyThere: new LineKeys(),
    leftOut: [],
    cells: [],
    unmatchedSwings: [],
    clock: null,
    kept: [],
    problems: [],
  };
  const [golfers, swings] = [tables.get('golfers')!, tables.get('swings')!];
  const read = rowReader(mapping, columns, {
    playsOf: (golfer) => {
      const row = golfers.rowOf(golfer);
      return row === undefined ? null : golfers.get(row, 'plays');
    },
    lastOrderIn: lastOrderIn(swings),
    hasSwing: (id) => swings.sourceLine(swings.rowOf(id) ?? -1) === null && swings.rowOf(id) !== undefined,
  });
  const toJoin: Joinable[] = [];
  for (const row of rows) {
    const reading = read(row);
    for (const cell of reading.cells) taken.cells.push(cell);
    if (!reading.ok)
      taken.leftOut.push({ line: row.line, why: reading.why, ...(reading.asTold ? { asTold: true } : {}) });
    else if (mapping.join !== null) toJoin.push(joinable(row.line, reading.values));
    else addRow(mapping.rows, row.line, reading, tables, taken);
  }
  if (mapping.join !== null) joinRows(mapping, toJoin, tables, taken);
  return taken;
}

function lastOrderIn(swings: GrowingTable): (session: string) => number {
  const last = new Map<string, number>();
  for (let row = 0; row < swings.firstNew; row += 1) {
    const session = swings.get(row, 'session_id');
    last.set(session, Math.max(last.get(session) ?? 0, Number(swings.get(row, 'order_in_session')) || 0));
  }
  return (session) => last.get(session) ?? 0;
}

type Values = ReadonlyMap<TableName, RowValues>;

/** How a second device adds its numbers to the swings of the first. */
const BESIDE =
  ' (where both devices numbered the same swings alike, write "join": {"by": "swing_id"} in the mapping, and its numbers are put beside what is there; by "time" where both have a clock)';

function addRow(
  main: TableName,
  line: number,
  { values, orderIsPlace }: { readonly values: Values; readonly orderIsPlace: boolean },
  tables: Tables,
  taken: Taken,
): void {
  // Parents first: a swing whose session says something else than the sheet is no swing of that session.
  const parents: readonly TableName[] = main === 'swings' ? ['sessions'] : [];
  for (const name of parents) {
    const standing = tables.get(name)!.standing(values.get(name)!);
    if (standing.is !== 'other') continue;
    const from = tables.get(name)!.sourceLine(standing.row);
    taken.leftOut.push({
      line,
      why: `its session has ${standing.column} '${standing.has}' ${from === null ? 'in the dataset' : `on line ${from}`} and '${standing.given}' here`,
    });
    return;
  }
  const own = values.get(main)!;
  const table = tables.get(main)!;
  const key = [...own.values()][0] ?? '';
  const id =
    main === 'swings'
      ? own.get('swing_id')!
      : main === 'sessions'
        ? own.get('session_id')!
        : main === 'golfers'
          ? own.get('golfer_id')!
          : key;
  const standing = table.standing(own, orderIsPlace ? 'order_in_session' : undefined);
  const from = standing.is === 'absent' ? null : table.sourceLine(standing.row);
  if (standing.is === 'other' && !(main === 'golfers' && from !== null && standing.has === '')) {
    taken.leftOut.push({
      line,
      why: `${id} stands ${from === null ? 'in the dataset' : `on line ${from}`} with ${standing.column} '${standing.has}', and here with '${standing.given}'; nothing was overwritten${from === null && main === 'swings' && standing.has === '' ? BESIDE : ''}`,
    });
    return;
  }
  if (standing.is !== 'absent') {
    if (from === null) taken.alreadyThere.push({ line, key: id });
    else taken.leftOut.push({ line, why: `it is the same as line ${from}` });
    return;
  }
  if (main !== 'golfers') addGolfer(line, values.get('golfers')!, tables.get('golfers')!, taken);
  for (const name of parents)
    if (tables.get(name)!.standing(values.get(name)!).is === 'absent')
      tables.get(name)!.add(values.get(name)!, line);
  table.add(own, line);
  taken.imported.push({ line, key: id });
}

/** A golfer is added once; what a later row says otherwise is left and said, but for the side, which is never open. */
function addGolfer(line: number, values: RowValues, golfers: GrowingTable, taken: Taken): void {
  const standing = golfers.standing(values);
  if (standing.is === 'absent') golfers.add(values, line);
  if (standing.is !== 'other') return;
  const { row, column, has, given } = standing;
  if (has === '' && golfers.sourceLine(row) !== null) {
    golfers.set(row, column, given);
    addGolfer(line, values, golfers, taken);
    return;
  }
  if (given === '') {
    addGolfer(line, new Map([...values].filter(([, text]) => text !== '')), golfers, taken);
    return;
  }
  if (column === 'plays')
    taken.problems.push({
      where: `line ${line}`,
      found: `${values.get('golfer_id')} plays ${given}`,
      expected: `${has}, as ${golfers.sourceLine(row) === null ? 'the dataset has it' : `line ${golfers.sourceLine(row)} has it`}`,
      remedy: 'Correct the one that is wrong: the trail side, and so every elbow angle, follows from it.',
    });
  else if (!taken.kept.some((one) => one.table === 'golfers' && one.column === column && one.line === line))
    taken.kept.push({ line, table: 'golfers', column, has });
}
