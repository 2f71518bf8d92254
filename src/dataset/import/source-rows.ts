import { csvRows } from './csv-rows.ts';
import type { ImportProblem } from './import-problem.ts';
import type { Merge, SheetFile } from './sheet.ts';
import type { SheetRows } from './sheet-rows.ts';

/** The rows of the one sheet that a mapping speaks of. */
export interface SourceRows {
  readonly rows: SheetRows;
  readonly merged: readonly Merge[];
  readonly formulas: number;
  readonly hiddenColumns: readonly number[];
}

/** @param name the file's name, for the words of a problem */
export function sourceRows(
  file: SheetFile,
  reading: { readonly delimiter?: string; readonly sheet?: string },
  name: string,
):
  | { readonly ok: true; readonly source: SourceRows }
  | { readonly ok: false; readonly problem: ImportProblem } {
  if (file.kind === 'csv') {
    const read = csvRows(file.text, reading.delimiter ?? ',', name);
    return read.ok
      ? { ok: true, source: { rows: read.rows, merged: [], formulas: 0, hiddenColumns: [] } }
      : read;
  }
  const sheet = file.sheets.find((one) => one.name === reading.sheet);
  if (sheet !== undefined) return { ok: true, source: sheet };
  return {
    ok: false,
    problem: {
      where: name,
      found: `no sheet '${reading.sheet ?? ''}'`,
      expected: `one of: ${file.sheets.map((one) => one.name).join(', ')}`,
      remedy: 'Write the name of a sheet as /reading/sheet of the mapping.',
    },
  };
}
