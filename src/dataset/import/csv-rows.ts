import { eachCsvRow } from '../read/csv-text.ts';
import type { ImportProblem } from './import-problem.ts';
import { SheetRows } from './sheet-rows.ts';

export const DELIMITERS: readonly string[] = [',', ';', '\t', '|'];
const MOST_COLUMNS = 16_384;

/** The rows of a CSV text that hold something, or why it cannot be cut into rows. */
export function csvRows(
  text: string,
  delimiter: string,
  name: string,
): { readonly ok: true; readonly rows: SheetRows } | { readonly ok: false; readonly problem: ImportProblem } {
  const rows = new SheetRows();
  let widest = 0;
  const fault = eachCsvRow(
    text,
    (cells, line) => {
      widest = Math.max(widest, cells.length);
      if (cells.some((cell) => cell.trim() !== '')) rows.push({ line, cells, kinds: null, hidden: false });
    },
    delimiter,
  );
  if (fault !== null) {
    const { row, found, expected, remedy } = fault;
    return {
      ok: false,
      problem: { where: row === null ? name : `${name}, line ${row}`, found, expected, remedy },
    };
  }
  if (widest > MOST_COLUMNS)
    return {
      ok: false,
      problem: {
        where: name,
        found: `a row of ${widest} cells`,
        expected: `at most ${MOST_COLUMNS} columns`,
        remedy: 'Look whether lines run together, and save the file again.',
      },
    };
  return { ok: true, rows };
}

/**
 * What stands between the columns: the mark that cuts most of the first fifty lines into the same number of cells,
 * two at least. A decimal comma is told from a comma between columns by the lines that a semicolon cuts better.
 *
 * @returns the mark and why; null where no mark cuts the lines
 */
export function delimiterOf(text: string): { readonly delimiter: string; readonly reason: string } | null {
  const head = text.slice(0, 65_536);
  // A quote out of place, or cut off by the end of the head, hides every mark; where it stands is said later.
  return bestMark(head) ?? bestMark(head.replaceAll('"', ''));
}

function bestMark(head: string): { readonly delimiter: string; readonly reason: string } | null {
  let best: { delimiter: string; lines: number; of: number; cells: number } | null = null;
  for (const delimiter of DELIMITERS) {
    const counts: number[] = [];
    eachCsvRow(
      head,
      (cells) => {
        if (counts.length < 50 && cells.some((cell) => cell.trim() !== '')) counts.push(cells.length);
      },
      delimiter,
    );
    const byCells = new Map<number, number>();
    for (const count of counts) if (count > 1) byCells.set(count, (byCells.get(count) ?? 0) + 1);
    for (const [cells, lines] of byCells)
      if (best === null || lines > best.lines || (lines === best.lines && cells > best.cells))
        best = { delimiter, lines, of: counts.length, cells };
  }
  if (best === null) return null;
  const words: Readonly<Record<string, string>> = {
    ',': 'a comma',
    ';': 'a semicolon',
    '\t': 'a tab',
    '|': 'a bar',
  };
  return {
    delimiter: best.delimiter,
    reason: `${words[best.delimiter]} cuts ${best.lines} of the first ${best.of} lines into ${best.cells} cells each`,
  };
}
