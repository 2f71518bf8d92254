import type { Mapping } from '../../import/mapping.ts';
import { openFile } from '../../import/open-file.ts';
import { cellOf, kindOf, type SheetFile, type SheetRow } from '../../import/sheet.ts';
import { sourceRows } from '../../import/source-rows.ts';
import { recordsOf } from '../records.ts';
import { ERASED, type TextFinder } from '../sought.ts';
import { textOf } from '../text-of.ts';
import { type SheetValues, writeValues } from './write-values.ts';

/** How a sheet was read by one mapping. */
export interface SheetUse {
  readonly mapping: Mapping;
  /** Lines that the log says became rows of the golfer. */
  readonly loggedLines: ReadonlySet<number>;
}

/** Whose rows are looked for. */
export interface RowOwner {
  readonly golfers: ReadonlySet<string>;
  readonly sessions: ReadonlySet<string>;
  readonly swings: ReadonlySet<string>;
}

/** What a use of a sheet loses. */
export interface LostLines {
  readonly lines: ReadonlySet<number>;
  /** How many cells with something in them go, by column from 0. */
  readonly cells: readonly number[];
}

export interface RedactedSheet {
  /** null where no row of anybody else is left. */
  readonly bytes: Uint8Array | null;
  readonly changed: boolean;
  /** In the order of the uses. */
  readonly lost: readonly LostLines[];
}

/**
 * A sheet without a golfer's rows. Each is left empty, so that every other row keeps its number; a mention elsewhere is
 * replaced by a word, and a title above the header that mentions the golfer is emptied. Of a workbook only the values stay:
 * notes, authors, formulae and charts may say anything of anybody.
 *
 * @param isMentioned whether the golfer was found anywhere in the file: in a workbook also where no row is
 * @returns null where the file is no sheet that can be read
 */
export function redactSheet(
  bytes: Uint8Array,
  uses: readonly SheetUse[],
  owner: RowOwner,
  texts: TextFinder,
  isMentioned: boolean,
): RedactedSheet | null {
  const opened = openFile(bytes, 'sheet');
  if (!opened.ok) return null;
  const { file } = opened;
  const read = uses.map(({ mapping }) => sourceRows(file, mapping.reading, 'sheet'));
  const lost = uses.map((use, index) => {
    const source = read[index]!;
    return source.ok ? lostLines(source.source.rows, use, owner) : { lines: new Set<number>(), cells: [] };
  });
  const isLeft = uses.some(({ mapping }, index) => {
    const source = read[index]!;
    return (
      source.ok &&
      [...source.source.rows].some(
        ({ line }) => line >= mapping.reading.first_line && !lost[index]!.lines.has(line),
      )
    );
  });
  if (!isLeft && lost.some(({ lines }) => lines.size > 0)) return { bytes: null, changed: true, lost };
  const made =
    file.kind === 'csv'
      ? redactedText(bytes, titlesAnd(uses, lost), texts)
      : redactedBook(file, isMentioned, uses, lost, texts);
  return { bytes: made ?? bytes, changed: made !== null, lost };
}

function lostLines(rows: Iterable<SheetRow>, { mapping, loggedLines }: SheetUse, owner: RowOwner): LostLines {
  const nameColumn = mapping.columns.find(({ to }) => to === 'golfers.golfer_id')?.column;
  const [only] = mapping.golfers;
  const isWhole = nameColumn === undefined && only !== undefined && owner.golfers.has(only.golfer_id);
  const written = mapping.golfers.flatMap((one) => (owner.golfers.has(one.golfer_id) ? one.written : []));
  const names = new Set([...owner.golfers, ...written.map((name) => name.trim())]);
  const keys = mapping.columns.flatMap(({ column, to }) => {
    const name = to?.split('.')[1];
    if (name === 'golfer_id') return [{ column, ids: names }];
    if (name === 'session_id') return [{ column, ids: owner.sessions }];
    return name === 'swing_id' ? [{ column, ids: owner.swings }] : [];
  });
  const lines = new Set<number>();
  const cells: number[] = [];
  for (const row of rows) {
    if (row.line < mapping.reading.first_line) continue;
    const isOwn =
      isWhole ||
      loggedLines.has(row.line) ||
      keys.some(({ column, ids }) => ids.has(cellOf(row, column - 1).trim()));
    if (!isOwn) continue;
    lines.add(row.line);
    row.cells.forEach((cell, index) => {
      if (cell.trim() !== '' && kindOf(row, index) !== 'error') cells[index] = (cells[index] ?? 0) + 1;
    });
  }
  return { lines, cells };
}

interface Emptied {
  readonly lines: ReadonlySet<number>;
  /** Whether a line is a title, which is emptied where it mentions the golfer. */
  isTitle(line: number): boolean;
}

function titlesAnd(uses: readonly SheetUse[], lost: readonly LostLines[]): Emptied {
  return {
    lines: new Set(lost.flatMap(({ lines }) => [...lines])),
    isTitle: (line) =>
      uses.every(
        ({ mapping: { reading } }) =>
          line < reading.first_line && !reading.header_lines.includes(line) && line !== reading.unit_line,
      ),
  };
}

/** @returns null where nothing was changed */
function redactedText(bytes: Uint8Array, emptied: Emptied, texts: TextFinder): Uint8Array | null {
  const { text, encode } = textOf(bytes);
  let line = 1;
  const made = [...recordsOf(text)].map((record) => {
    const start = line;
    line += record.match(/\r\n|\r|\n/g)?.length ?? 0;
    const isGone = emptied.lines.has(start) || (emptied.isTitle(start) && texts.isIn(record));
    return isGone ? record.replace(/[^\r\n\uFEFF]/g, '') : texts.replaced(record, ERASED).text;
  });
  const joined = made.join('');
  return joined === text ? null : encode(joined);
}

function redactedBook(
  file: Extract<SheetFile, { readonly kind: 'xlsx' }>,
  isMentioned: boolean,
  uses: readonly SheetUse[],
  lost: readonly LostLines[],
  texts: TextFinder,
): Uint8Array | null {
  let changed = false;
  const sheets = file.sheets.map((sheet): SheetValues => {
    const own = uses.flatMap((use, index) =>
      use.mapping.reading.sheet === sheet.name ? [{ use, lost: lost[index]! }] : [],
    );
    const emptied = titlesAnd(
      own.map(({ use }) => use),
      own.map((one) => one.lost),
    );
    const rows = [...sheet.rows].flatMap((row): SheetRow[] => {
      const isNamed = row.cells.some((cell) => texts.isIn(cell));
      // In a sheet that no mapping reads, nobody knows whose a row is: every row with a mention goes.
      if (emptied.lines.has(row.line) || (isNamed && emptied.isTitle(row.line))) {
        changed = true;
        return [];
      }
      if (!isNamed) return [row];
      changed = true;
      return [{ ...row, cells: row.cells.map((cell) => texts.replaced(cell, ERASED).text) }];
    });
    const name = texts.replaced(sheet.name, ERASED).text;
    changed ||= name !== sheet.name;
    return { ...sheet, name, rows };
  });
  return changed || isMentioned ? writeValues(sheets) : null;
}
