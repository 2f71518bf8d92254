import { join } from 'node:path';
import { csvLine } from '../csv-write.ts';
import { CURVE_INSTANTS_FILE, CURVES_FILE } from '../curves/curve-set.ts';
import { type DescribedTable, descriptorText, packageDescriptor } from '../descriptor.ts';
import { cellOfText } from '../formula-text.ts';
import { cellText } from '../from-rows.ts';
import { TABLE_NAMES, type TableName } from '../generated/rows.ts';
import type { FileContent } from '../new-files.ts';
import { readCsvTable } from '../read/read-csv.ts';
import { readRegularFile } from '../read-regular-file.ts';
import { tableSchema } from '../schema.ts';
import { curveFiles } from './curve-files.ts';
import type { Ending } from './ending.ts';

/** Where every file's ending is told, one line for each thing to know. */
export const REPORT_FILE = 'measure-report.csv';

/** Files that are written only at the end, in the order in which they are put in place. */
export const RESULT_FILES = [
  'swings.csv',
  'captures.csv',
  CURVES_FILE,
  CURVE_INSTANTS_FILE,
  'datapackage.json',
  REPORT_FILE,
] as const;

const CAPTURE_COLUMNS = ['swing_id', 'file', 'sha256', 'layout'] as const;

/**
 * The files of the dataset, by path: layouts, the tables that lie beside the captures as they are, swings,
 * captures, the descriptor and the report. The same endings always give the same bytes.
 *
 * @param root the folder of captures
 * @param columns columns of swings that come before the measured ones
 * @param manifest whether a manifest says that each capture is a swing: then one whose capture failed stays, with
 *   empty numbers, since that it is missing can itself say something
 */
export async function resultFiles(
  root: string,
  endings: readonly Ending[],
  columns: readonly string[],
  manifest: boolean,
): Promise<ReadonlyMap<string, FileContent>> {
  const swingsKept = endings.filter(
    ({ task, result }) =>
      task.cells !== null && (result.status === 'measured' || (manifest && result.status === 'failed')),
  );
  const files = new Map<string, FileContent>();
  for (const { layout } of endings) if (layout !== null) files.set(layout.copy, layout.bytes);
  const described: DescribedTable[] = [];
  for (const name of besideTables()) {
    const bytes = await readRegularFile(join(root, `${name}.csv`)).catch(() => null);
    const table = bytes === null ? null : (readCsvTable(name, bytes).read?.table ?? null);
    if (bytes === null || table === null) continue;
    files.set(`${name}.csv`, bytes);
    described.push({ name, columns: table.columnNames });
  }
  const swings = swingsTable(swingsKept, columns);
  files.set('swings.csv', swings.text);
  files.set('captures.csv', capturesText(swingsKept));
  for (const [name, text] of curveFiles(swingsKept)) files.set(name, text);
  described.push({ name: 'swings', columns: swings.columns }, { name: 'captures', columns: CAPTURE_COLUMNS });
  described.sort((a, b) => TABLE_NAMES.indexOf(a.name) - TABLE_NAMES.indexOf(b.name));
  files.set('datapackage.json', descriptorText(packageDescriptor(described)));
  files.set(REPORT_FILE, reportText(endings));
  return files;
}

function besideTables(): TableName[] {
  return TABLE_NAMES.filter((name) => name !== 'swings' && name !== 'captures');
}

/** Paths of the files that a run may write, whatever it finds. */
export function ownPaths(): string[] {
  return [...RESULT_FILES, ...besideTables().map((name) => `${name}.csv`)];
}

function swingsTable(
  endings: readonly Ending[],
  columns: readonly string[],
): { readonly columns: readonly string[]; readonly text: string } {
  const order = tableSchema('swings').fields.map((field) => field.name);
  const place = new Map(order.map((name, index) => [name, index]));
  const placeOf = (name: string): number => place.get(name) ?? order.length;
  const measured = new Set(
    endings.flatMap(({ result }) => (result.status === 'measured' ? Object.keys(result.swing) : [])),
  );
  const all = [...columns, ...measured].sort((a, b) => placeOf(a) - placeOf(b));
  const lines = [csvLine(all)];
  for (const { task, result } of endings) {
    const swing = result.status === 'measured' ? result.swing : {};
    lines.push(csvLine(all.map((name) => task.cells?.get(name) ?? cellText(swing[name]))));
  }
  return { columns: all, text: lines.join('') };
}

function capturesText(endings: readonly Ending[]): string {
  const lines = [csvLine(CAPTURE_COLUMNS)];
  for (const { task, sha256, layout } of endings) {
    if (sha256 === null) continue;
    lines.push(csvLine([task.cells?.get('swing_id') ?? '', task.file, sha256, layout?.copy ?? '']));
  }
  return lines.join('');
}

function reportText(endings: readonly Ending[]): string {
  const lines = [csvLine(['file', 'outcome', 'swing_id', 'where', 'found', 'expected', 'remedy'])];
  for (const { task, result } of endings) {
    const line = (outcome: string, where = '', found = '', expected = '', remedy = ''): void => {
      const id = task.cells?.get('swing_id') ?? '';
      // Nothing reads this table but a person, in a spreadsheet.
      lines.push(csvLine([task.file, outcome, id, where, found, expected, remedy].map(cellOfText)));
    };
    if (result.status === 'copy')
      line(
        'copy',
        'the file',
        `the same bytes as ${result.of}`,
        'each swing once',
        'take one of the two away',
      );
    else if (result.status === 'failed')
      for (const { where, found, expected, remedy } of result.problems)
        line('failed', where, found, expected, remedy);
    else if (result.warnings.length === 0) line('measured');
    else for (const warning of result.warnings) line('measured', '', warning);
  }
  return lines.join('');
}
