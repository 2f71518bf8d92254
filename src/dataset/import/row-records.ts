import type { TableName } from '../generated/rows.ts';
import { isRequired, tableSchema } from '../schema.ts';
import type { ColumnMap, GolferMap, Mapping } from './mapping.ts';
import { cellReaderFor, type ReadCell } from './read-cell.ts';
import { type CellKind, cellOf, kindOf, type SheetRow } from './sheet.ts';
import { targetOf } from './targets.ts';

/** A cell that was left empty, with what stood in it. */
export interface EmptiedCell {
  readonly line: number;
  readonly column: number;
  readonly header: string;
  readonly found: string;
  readonly why: string;
  /** A word for missing: no fault. */
  readonly quiet: boolean;
}

/** A row of the sheet as rows of tables, or why it is none. */
export type RowReading =
  | {
      readonly ok: true;
      readonly values: ReadonlyMap<TableName, Map<string, string>>;
      /** The order of the swing is its place in the sheet, which the sheet itself does not say. */
      readonly orderIsPlace: boolean;
      readonly cells: readonly EmptiedCell[];
    }
  | {
      readonly ok: false;
      readonly why: string;
      /** The mapping says so: no fault of the row. */
      readonly asTold: boolean;
      readonly cells: readonly EmptiedCell[];
    };

interface Reader {
  readonly map: ColumnMap;
  readonly table: TableName;
  readonly column: string;
  readonly read: (text: string, kind: CellKind) => ReadCell;
}

/** What the rows of a sheet may lean on in the dataset. */
export interface KnownSwings {
  /** The side from which a golfer plays, or null. */
  playsOf(golfer: string): string | null;
  /** The last order in a session, behind which swings with ids of their own are put; 0 where there is none. */
  lastOrderIn(session: string): number;
  hasSwing(id: string): boolean;
}

/**
 * What reads the rows of a sheet by its mapping.
 *
 * @param columns how many columns the header has; a cell with something in it beyond them makes a row unreadable
 * @param dataset what the dataset has already
 */
export function rowReader(
  mapping: Mapping,
  columns: number,
  dataset: KnownSwings,
): (row: SheetRow) => RowReading {
  const readers = mapping.columns.flatMap((map): Reader[] => {
    const target = targetOf(map.to ?? '');
    if (target === undefined || map.to === 'golfers.golfer_id') return [];
    return [{ map, table: target.table, column: target.column, read: cellReaderFor(map, mapping.reading) }];
  });
  const golferColumn = mapping.columns.find(({ to }) => to === 'golfers.golfer_id');
  const golferBy = new Map(
    mapping.golfers.flatMap((golfer) => golfer.written.map((name) => [name, golfer] as const)),
  );
  const leaveOut = new Map(mapping.reading.leave_out.map(({ line, why }) => [line, why]));
  const swingsIn = new Map<string, number>();

  return (row) => {
    const cells: EmptiedCell[] = [];
    const out = (why: string, asTold = false): RowReading => ({ ok: false, why, asTold, cells });
    const told = leaveOut.get(row.line);
    if (told !== undefined) return out(`the mapping leaves it out: ${told}`, true);
    if (row.hidden && mapping.reading.hidden_rows === 'leave-out')
      return out('it is hidden in the sheet', true);
    const beyond = row.cells.findIndex((cell, index) => index >= columns && cell.trim() !== '');
    if (beyond >= 0)
      return out(
        `it has ${row.cells.length} cells, and the header ${columns}; a comma inside a value may have cut it in two`,
      );
    const golfer = golferOf(row, golferColumn, golferBy, mapping.golfers);
    if (typeof golfer === 'string') return out(golfer);

    const values = new Map<TableName, Map<string, string>>();
    const put = (table: TableName, column: string, text: string) => {
      const record = values.get(table) ?? new Map<string, string>();
      values.set(table, record);
      record.set(column, text);
    };
    let time = '';
    const empty = (map: ColumnMap, why: string, quiet: boolean) =>
      cells.push({
        line: row.line,
        column: map.column,
        header: map.header,
        found: cellOf(row, map.column - 1),
        why,
        quiet,
      });
    const sided: Reader[] = [];
    for (const reader of readers) {
      if (reader.map.side !== undefined) {
        sided.push(reader);
        continue;
      }
      const cell = reader.read(cellOf(row, reader.map.column - 1), kindOf(row, reader.map.column - 1));
      if (!cell.ok) empty(reader.map, cell.why, cell.quiet);
      put(reader.table, reader.column, cell.ok ? cell.text : '');
      if (cell.ok && cell.time !== undefined) time = cell.time;
    }
    if (golfer !== null) {
      put('golfers', 'golfer_id', golfer.golfer_id);
      if (golfer.plays !== null) put('golfers', 'plays', golfer.plays);
    }
    const plays =
      values.get('golfers')?.get('plays') || (golfer === null ? null : dataset.playsOf(golfer.golfer_id));
    for (const reader of sided) takeSide(reader, row, plays, put, empty);

    const orderIsPlace = !values.get('swings')?.get('order_in_session');
    const missing = complete(mapping, values, time, swingsIn, dataset);
    if (missing === null) return { ok: true, values, orderIsPlace, cells };
    const fault = cells.find(({ column }) => mapping.columns[column - 1]?.to?.endsWith(`.${missing}`));
    return out(fault === undefined ? `it has no ${missing}` : `it has no ${missing}: ${fault.why}`);
  };
}

function golferOf(
  row: SheetRow,
  column: ColumnMap | undefined,
  golferBy: ReadonlyMap<string, GolferMap>,
  golfers: readonly GolferMap[],
): GolferMap | null | string {
  if (column === undefined) return golfers[0] ?? null;
  const name = cellOf(row, column.column - 1).trim();
  if (name === '') return 'it names no golfer';
  return golferBy.get(name) ?? 'its golfer is not in the mapping';
}

/** The right side trails for those who play right, and the left for those who play left; the other side leads. */
function takeSide(
  { map, table, column, read }: Reader,
  row: SheetRow,
  plays: string | null,
  put: (table: TableName, column: string, text: string) => void,
  empty: (map: ColumnMap, why: string, quiet: boolean) => void,
): void {
  const text = cellOf(row, map.column - 1);
  if (text.trim() === '') return;
  if (plays !== map.side) {
    const known = plays === 'right' || plays === 'left';
    const why = known
      ? `of the ${map.side} side, which leads for a golfer who plays ${plays}`
      : 'nothing says from which side the golfer plays';
    empty(map, why, known);
    return;
  }
  const cell = read(text, kindOf(row, map.column - 1));
  if (cell.ok) put(table, column, cell.text);
  else empty(map, cell.why, cell.quiet);
}

/** Adds what the mapping says of every row, and the keys between the tables; gives the first required column that stays empty. */
function complete(
  mapping: Mapping,
  values: ReadonlyMap<TableName, Map<string, string>> & {
    set(table: TableName, record: Map<string, string>): unknown;
  },
  time: string,
  swingsIn: Map<string, number>,
  dataset: KnownSwings,
): string | null {
  const of = (table: TableName) => {
    const record = values.get(table) ?? new Map<string, string>();
    values.set(table, record);
    return record;
  };
  const { rows } = mapping;
  const golfer = of('golfers').get('golfer_id') ?? '';
  const { sessions } = mapping;
  if (rows === 'swings' || rows === 'sessions') {
    const session = of('sessions');
    session.set('golfer_id', golfer);
    if (sessions.date !== null && !session.get('date')) session.set('date', sessions.date);
    const date = session.get('date') ?? '';
    if (!session.get('session_id') && golfer !== '' && date !== '')
      session.set(
        'session_id',
        [golfer, date, ...(sessions.suffix === null ? [] : [sessions.suffix])].join('-'),
      );
    const phase = phaseOn(date, sessions.phase);
    if (phase !== null && !session.get('phase')) session.set('phase', phase);
    if (sessions.device !== null && !session.get('device')) session.set('device', sessions.device);
  }
  if (rows === 'swings') {
    const hasIds = mapping.columns.some(({ to }) => to === 'swings.swing_id');
    const swing = of('swings');
    const numbered = Boolean(swing.get('order_in_session'));
    const session = of('sessions').get('session_id') ?? '';
    if (session !== '') {
      // Ids made from the order must come out the same whenever the sheet is imported again.
      const id = swing.get('swing_id');
      const before = swingsIn.get(session) ?? (id ? dataset.lastOrderIn(session) : 0);
      const order = before + 1;
      swingsIn.set(session, id && dataset.hasSwing(id) ? before : order);
      swing.set('session_id', session);
      if (!swing.get('order_in_session')) swing.set('order_in_session', String(order));
      // A join by id without a column of ids goes by the number of the swing, which then stands in the sheet.
      if (
        !swing.get('swing_id') &&
        (mapping.join === null || (numbered && mapping.join.by === 'swing_id' && !hasIds))
      )
        swing.set('swing_id', `${session}-${swing.get('order_in_session')!.padStart(2, '0')}`);
    }
    if (mapping.task !== null && !swing.get('task')) swing.set('task', mapping.task);
    if (time !== '' && !swing.get('time_of_day')) swing.set('time_of_day', time);
  }
  if (rows === 'practice' || rows === 'assignments') of(rows).set('golfer_id', golfer);
  const needed: readonly TableName[] = rows === 'swings' ? ['sessions', 'swings'] : [rows];
  const byId = mapping.join?.by === 'swing_id';
  if (golfer === '' && rows !== 'instructors' && !byId) return 'golfer_id';
  // A swing joined to one that the dataset has needs no more than what finds it.
  if (mapping.join !== null) return null;
  if ((rows === 'swings' || rows === 'sessions') && !values.get('sessions')?.get('date')) return 'date';
  for (const table of needed)
    for (const field of tableSchema(table).fields)
      if (
        isRequired(field) &&
        !values.get(table)?.get(field.name) &&
        !(table === 'golfers' && field.name === 'plays')
      )
        return field.name;
  return null;
}

function phaseOn(date: string, phase: Mapping['sessions']['phase']): string | null {
  if (phase === null || typeof phase === 'string') return phase;
  const begun = phase.filter(({ from }) => from <= date).sort((a, b) => (a.from < b.from ? 1 : -1));
  return begun[0]?.phase ?? null;
}
