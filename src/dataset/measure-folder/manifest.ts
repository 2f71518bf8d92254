import { isAbsolute, resolve } from 'node:path';
import { metricCatalogue } from '../../kinematics/index.ts';
import { checkPrimaryKey } from '../checks/keys.ts';
import { checkTexts } from '../checks/texts.ts';
import type { Problem } from '../problem.ts';
import { csvText, eachCsvRow } from '../read/csv-text.ts';
import { TableReader } from '../read/table-reader.ts';
import { readColumns } from '../read-columns.ts';
import { MANIFEST } from './find-captures.ts';
import type { CaptureTask, FolderProblem } from './folder-problem.ts';
import { pathProblem } from './name-captures.ts';

export type ReadManifest =
  | { readonly ok: true; readonly tasks: readonly CaptureTask[]; readonly columns: readonly string[] }
  | { readonly ok: false; readonly problems: readonly FolderProblem[] };

const OWN_COLUMNS: ReadonlySet<string> = new Set(['file', 'layout']);
const MEASURED: ReadonlySet<string> = new Set(
  metricCatalogue.flatMap(({ column }) => [column, `${column}_sd`]),
);

/**
 * Reads a manifest: a CSV table with one row for each capture. Columns: file (path from the folder of captures),
 * swing_id, session_id, order_in_session, task, and where wanted layout (path from the folder of captures; empty
 * means the layout given for all), club, speed_intent_pct and columns of your own, which are passed on to swings.csv.
 *
 * @param layout path of the layout of the rows that name none
 */
export function readManifest(root: string, bytes: Uint8Array, layout: string): ReadManifest {
  const whole = readColumns(MANIFEST, bytes);
  if (!whole.ok) return { ok: false, problems: whole.problems.map(asFolderProblem) };
  const decoded = csvText(bytes) as { readonly text: string };
  const problems: FolderProblem[] = [];
  const tasks: CaptureTask[] = [];
  const lineOfFile = new Map<string, number>();
  let header: readonly string[] = [];
  let columns: string[] = [];
  let reader: TableReader | null = null;
  eachCsvRow(decoded.text, (cells, line) => {
    if (reader === null) {
      header = cells;
      columns = header.filter((name) => !OWN_COLUMNS.has(name));
      problems.push(...headerProblems(header));
      reader = new TableReader('swings', columns);
      return;
    }
    if (cells.every((cell) => cell === '')) return;
    const row = new Map(header.map((name, index) => [name, cells[index] ?? '']));
    reader.push(
      columns.map((name) => row.get(name) ?? ''),
      line,
    );
    const file = (row.get('file') ?? '').replace(/^\.\//, '');
    problems.push(...fileProblems(file, line, lineOfFile));
    lineOfFile.set(file, line);
    const own = row.get('layout') ?? '';
    tasks.push({
      file,
      cells: new Map(columns.map((name) => [name, row.get(name) ?? ''])),
      layout: own === '' ? layout : isAbsolute(own) ? own : resolve(root, own),
      problem: null,
    });
  });
  const read = (reader as TableReader | null)?.finish();
  if (read) {
    const keys = read.table.has('swing_id') ? checkPrimaryKey(read.table) : [];
    const errors = [...read.problems, ...checkTexts(read.table), ...keys].filter(
      ({ severity }) => severity === 'error',
    );
    problems.push(...errors.map(asFolderProblem));
  }
  return problems.length > 0 ? { ok: false, problems } : { ok: true, tasks, columns };
}

function headerProblems(header: readonly string[]): FolderProblem[] {
  const at = { where: `${MANIFEST} line 1` };
  const measured = header.filter((name) => MEASURED.has(name));
  return [
    ...(header.includes('file')
      ? []
      : [
          {
            ...at,
            found: 'no column file',
            expected: 'a column with the path of each capture',
            remedy: 'add the column',
          },
        ]),
    ...measured.map((name) => ({
      ...at,
      found: `the column ${name}`,
      expected: 'what each capture is, not numbers that are measured',
      remedy: 'take the column away; numbers of another device can be joined by swing_id afterwards',
    })),
  ];
}

function fileProblems(file: string, line: number, seen: ReadonlyMap<string, number>): FolderProblem[] {
  const where = `${MANIFEST} line ${line}, column file`;
  const wrong = file === '' ? null : pathProblem(file);
  if (wrong !== null) return [{ ...wrong, where }];
  if (file === '')
    return [{ where, found: 'nothing', expected: 'the path of the capture', remedy: 'fill in the cell' }];
  const before = seen.get(file);
  if (before === undefined) return [];
  return [
    {
      where,
      found: `${file} again`,
      expected: `each file once; it stands on line ${before} already`,
      remedy: 'take one of the two rows away, or correct the path',
    },
  ];
}

function asFolderProblem({ row, column, found, expected, remedy }: Problem): FolderProblem {
  const line = row === null ? '' : ` line ${row}`;
  const where = `${MANIFEST}${line}${column === null ? '' : `${line === '' ? '' : ','} column ${column}`}`;
  return { where, found, expected, remedy };
}
