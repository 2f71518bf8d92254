import { sha256Hex } from '../hash.ts';
import { MISSING_WORDS } from './cell-values.ts';
import { DELIMITERS, delimiterOf } from './csv-rows.ts';
import type { ImportProblem } from './import-problem.ts';
import { ASK, type ColumnMap, type Mapping, openQuestions } from './mapping.ts';
import { openFile } from './open-file.ts';
import { proposeColumn, type SheetColumn } from './propose-column.ts';
import { proposeGolfers } from './propose-golfers.ts';
import { proposeDateOrder, proposeDecimal, proposeTwoFigureYears } from './propose-reading.ts';
import type { SheetFile } from './sheet.ts';
import { headersOf, type SheetLayout, sheetLayout } from './sheet-layout.ts';
import type { SheetRows } from './sheet-rows.ts';
import { type SourceRows, sourceRows } from './source-rows.ts';
import { targetOf } from './targets.ts';

/**
 * A mapping that was proposed for a spreadsheet, with the questions it leaves open, or every reason why there is
 * none.
 */
export type Proposal =
  | {
      readonly ok: true;
      readonly mapping: Mapping;
      readonly questions: readonly ImportProblem[];
      readonly rows: number;
    }
  | { readonly ok: false; readonly problems: readonly ImportProblem[] };

const MOST_DATA_COLUMNS = 1_000;

/**
 * Proposes how a spreadsheet becomes rows of the tables: a mapping with a reason for each of its parts. Where header and
 * values leave something open it says "ask", and an import refuses until that is answered.
 *
 * @param known golfers that the dataset has already, so that no code is given twice
 * @param earlier the code of each name that an earlier import took, as `knownNames` gives it
 * @example
 * const proposal = proposeMapping(new TextEncoder().encode('date,golfer,club speed (mph)\n2026-03-04,G01,80\n'), 'lesson.csv');
 * proposal.ok && proposal.mapping.columns.map(({ to }) => to) // ['sessions.date', 'golfers.golfer_id', 'swings.club_speed_mps']
 */
export function proposeMapping(
  bytes: Uint8Array,
  name: string,
  known: ReadonlySet<string> = new Set(),
  earlier: ReadonlyMap<string, string> = new Map(),
): Proposal {
  const opened = openFile(bytes, name);
  if (!opened.ok) return { ok: false, problems: [opened.problem] };
  const way = wayOfReading(opened.file, name);
  if ('problem' in way) return { ok: false, problems: [way.problem] };
  const read = sourceRows(opened.file, way.sheet === ASK ? { sheet: way.firstSheet! } : way, name);
  if (!read.ok) return { ok: false, problems: [read.problem] };
  const { source } = read;
  const layout = sheetLayout(source.rows, source.merged);
  if (layout === null) return { ok: false, problems: [noHeader(name, source.rows)] };
  const headers = headersOf(source.rows, layout.headerLines, source.merged);
  if (headers.length > MOST_DATA_COLUMNS)
    return {
      ok: false,
      problems: [
        {
          where: name,
          found: `${headers.length} columns`,
          expected: `at most ${MOST_DATA_COLUMNS}`,
          remedy: 'Save the columns with the swings as a file of their own.',
        },
      ],
    };
  const mapping = {
    ...proposed(source, layout, headers, way, (names, hasPlays) =>
      proposeGolfers(names, hasPlays, known, earlier),
    ),
    source: { file: name, sha256: sha256Hex(bytes) },
  };
  const rows = source.rows.length - source.rows.from(layout.firstLine);
  return { ok: true, mapping: inOrder(mapping), questions: openQuestions(mapping), rows };
}

interface Way {
  readonly delimiter?: string;
  readonly sheet?: string;
  readonly firstSheet?: string;
  readonly reasons: readonly string[];
}

function wayOfReading(file: SheetFile, name: string): Way | { readonly problem: ImportProblem } {
  if (file.kind === 'csv') {
    const { encoding, byteOrderMark } = file.reading;
    const code =
      encoding === 'windows-1252'
        ? 'encoding: not valid UTF-8, so it was read as Windows-1252; look whether accented letters are right'
        : `encoding: ${encoding.toUpperCase()}${byteOrderMark ? ', by its byte-order mark' : ''}`;
    const cut = delimiterOf(file.text);
    if (cut === null)
      return {
        problem: {
          where: name,
          found: 'no mark that cuts its lines into columns',
          expected: `${DELIMITERS.map((mark) => (mark === '\t' ? 'a tab' : mark)).join(' ')} between the columns`,
          remedy: 'Save the spreadsheet again as CSV, or give the .xlsx file.',
        },
      };
    return { delimiter: cut.delimiter, reasons: [code, `delimiter: ${cut.reason}`] };
  }
  const filled = file.sheets.filter(({ rows }) => rows.length > 1);
  const shown = filled.filter(({ hidden }) => !hidden);
  const hidden = filled.filter((sheet) => sheet.hidden).map((sheet) => `'${sheet.name}'`);
  const said = hidden.length > 0 ? [`hidden sheets: ${hidden.join(', ')} hold rows and are not read`] : [];
  const [only] = shown;
  if (only === undefined)
    return {
      problem: {
        where: name,
        found: filled.length > 0 ? `rows on hidden sheets only (${hidden.join(', ')})` : 'no sheet with rows',
        expected: 'a sheet with a header and rows',
        remedy:
          filled.length > 0
            ? 'Show the sheet in the spreadsheet and save it again.'
            : 'Look whether the file is the right one.',
      },
    };
  if (shown.length > 1)
    return {
      sheet: ASK,
      firstSheet: only.name,
      reasons: [
        `sheet: ${shown.map((sheet) => `'${sheet.name}'`).join(', ')} hold rows; the columns below are those of '${only.name}'`,
        ...said,
      ],
    };
  return { sheet: only.name, reasons: [`sheet names: '${only.name}' is the one that holds rows`, ...said] };
}

function proposed(
  source: SourceRows,
  layout: SheetLayout,
  headers: readonly string[],
  way: Way,
  golfersOf: (names: readonly string[], hasPlays: boolean) => Mapping['golfers'],
): Omit<Mapping, 'source'> {
  const left = new Set(layout.leaveOut.map(({ line }) => line));
  const { rows: sheet } = source;
  const data: Data = {
    sheet,
    places: Int32Array.from({ length: sheet.length }, (_, place) => place)
      .subarray(sheet.from(layout.firstLine))
      .filter((place) => !left.has(sheet.line(place))),
  };
  const unitPlace = layout.unitLine === null ? -1 : sheet.from(layout.unitLine);
  const columnsOf = (index: number): SheetColumn => ({
    column: index + 1,
    header: headers[index]!,
    unitCell: unitPlace < 0 ? '' : sheet.cell(unitPlace, index),
    values: sheet.column(index, data.places),
  });
  const first = headers.map((_, index) => proposeColumn(columnsOf(index), '.'));
  // A date written 4.3.2026 is no number, so only what is not a date counts for the decimal mark.
  const isDate = ({ to }: ColumnMap) => targetOf(to ?? '')?.field.type === 'date';
  const dates = new Set(first.filter(isDate).map(({ column }) => column - 1));
  const decimal = proposeDecimal(
    cellsOf(
      data,
      headers.map((_, index) => index).filter((index) => !dates.has(index)),
    ),
  );
  const days = [...cellsOf(data, [...dates])];
  const order = proposeDateOrder(days);
  const years = proposeTwoFigureYears(days);
  const columns = onceEach(
    decimal.decimal === ',' ? headers.map((_, index) => proposeColumn(columnsOf(index), ',')) : first,
  );
  const rows = whatRowsAre(columns);
  const placed = columns.map((map) => sessionsApart(map, columns, data, rows));
  const golferColumn = placed.find(({ to }) => to === 'golfers.golfer_id');
  const hasTo = (to: string) => placed.some((map) => map.to === to);
  const names =
    golferColumn === undefined
      ? []
      : [...new Set(textsIn(data, golferColumn.column - 1))].filter((name) => name !== '');
  const hidden = data.places.filter((place) => sheet.isHidden(place)).length;
  const needsSession = rows === 'swings' || rows === 'sessions';
  return {
    version: 1,
    reading: {
      ...(way.delimiter === undefined ? {} : { delimiter: way.delimiter }),
      ...(way.sheet === undefined ? {} : { sheet: way.sheet }),
      decimal: decimal.decimal,
      header_lines: layout.headerLines,
      unit_line: layout.unitLine,
      first_line: layout.firstLine,
      leave_out: layout.leaveOut,
      hidden_rows: hidden > 0 ? ASK : 'take',
      date_order: order.order,
      ...(years.century === null ? {} : { two_figure_years: years.century }),
      missing: MISSING_WORDS.filter((word) => word !== ''),
      reasons: [
        ...way.reasons,
        ...layout.reasons,
        decimal.reason,
        order.reason,
        ...(years.reason === null ? [] : [years.reason]),
        ...(hidden > 0 ? [`hidden_rows: ${hidden} rows are hidden in the sheet, perhaps by a filter`] : []),
        ...(source.hiddenColumns.length > 0
          ? [
              `hidden columns: ${source.hiddenColumns.slice(0, 20).join(', ')} are hidden in the sheet and read like the others`,
            ]
          : []),
        ...(source.formulas > 0
          ? [`formulas: ${source.formulas} cells are worked out by the sheet; the value it last had is taken`]
          : []),
      ],
    },
    rows,
    columns: placed,
    golfers: golfersOf(names, hasTo('golfers.plays')),
    sessions: {
      date: needsSession && !hasTo('sessions.date') ? ASK : null,
      phase: needsSession && !hasTo('sessions.phase') ? ASK : null,
      device: null,
      suffix: null,
    },
    task: rows === 'swings' && !hasTo('swings.task') ? ASK : null,
    join: null,
  };
}

/** Places of the rows with data in the sheet. */
interface Data {
  readonly sheet: SheetRows;
  readonly places: Int32Array;
}

function* cellsOf({ sheet, places }: Data, columns: readonly number[]) {
  for (const place of places)
    for (const index of columns)
      yield { text: sheet.cell(place, index), kind: sheet.kind(place, index), line: sheet.line(place) };
}

function* textsIn({ sheet, places }: Data, index: number) {
  for (const place of places) yield sheet.cell(place, index).trim();
}

/** Where two columns would become one, both ask. */
function onceEach(columns: readonly ColumnMap[]): readonly ColumnMap[] {
  return columns.map((map) => {
    const twins = columns.filter(
      (other) => map.to !== null && map.to !== ASK && other.to === map.to && other.side === map.side,
    );
    if (twins.length < 2) return map;
    return {
      ...map,
      to: ASK,
      reason: `columns ${twins.map(({ column }) => column).join(' and ')} would both become ${map.to}`,
      alternatives: [map.to!],
    };
  });
}

function whatRowsAre(columns: readonly ColumnMap[]): Mapping['rows'] {
  const has = (start: string) =>
    columns.some(
      ({ to, alternatives }) =>
        to?.startsWith(start) || (to === ASK && alternatives?.some((name) => name.startsWith(start))),
    );
  if (has('practice.')) return 'practice';
  if (has('assignments.')) return 'assignments';
  if (has('swings.')) return 'swings';
  return has('sessions.') ? 'sessions' : 'golfers';
}

/** A session's code that stands for several visits is none; a date of practice is the date of the bout. */
function sessionsApart(
  map: ColumnMap,
  columns: readonly ColumnMap[],
  data: Data,
  rows: Mapping['rows'],
): ColumnMap {
  if (map.to === 'sessions.date' && rows === 'practice') return { ...map, to: 'practice.date' };
  if (map.to !== 'sessions.session_id') return map;
  const others = columns
    .filter(({ to }) => to === 'golfers.golfer_id' || to === 'sessions.date')
    .map(({ column }) => column - 1);
  const visits = new Map<string, string>();
  for (const place of data.places) {
    const code = data.sheet.cell(place, map.column - 1).trim();
    const visit = JSON.stringify(others.map((index) => data.sheet.cell(place, index).trim()));
    if (code === '') continue;
    if ((visits.get(code) ?? visit) !== visit)
      return {
        ...map,
        to: null,
        reason: `'${code}' stands for more than one golfer or day, so sessions are made from golfer and date`,
        alternatives: [map.to],
      };
    visits.set(code, visit);
  }
  return map;
}

function noHeader(name: string, rows: SheetRows): ImportProblem {
  return rows.length === 0
    ? {
        where: name,
        found: 'no row',
        expected: 'a header and rows',
        remedy: 'Look whether the file is the right one.',
      }
    : {
        where: `${name}, line ${rows.line(0)}`,
        found: rows.length === 1 ? 'one line and no more' : 'values where the names of the columns should be',
        expected: 'a line with the names of the columns above the data',
        remedy: 'Write the names of the columns above the data and save again.',
      };
}

/** The parts in the order in which a reader wants them. */
function inOrder(mapping: Mapping): Mapping {
  const { version, source, reading, rows, columns, golfers, sessions, task, join } = mapping;
  return { version, source, reading, rows, columns, golfers, sessions, task, join };
}
