import { readFile, stat } from 'node:fs/promises';
import type { DuckDBDataChunk } from '@duckdb/node-api';
import type { TableName } from '../generated/rows.ts';
import type { Problem } from '../problem.ts';
import { csvText, delimiterFault, eachCsvRow } from '../read/csv-text.ts';
import { faultOf, tooLargeToRead } from '../read/inside.ts';
import { readCsvTable } from '../read/read-csv.ts';
import type { SqlEngine } from '../sums/sql-engine.ts';
import { sqlName, sqlText } from '../sums/sql-text.ts';
import { engineName, engineWords } from './engine-file.ts';
import { type CsvScan, scanCsv } from './scan-csv.ts';

/** The cells of a CSV table as a relation of texts c0, c1, ... in the order of the file, null where a cell is empty. */
export interface Cells {
  readonly header: readonly string[];
  readonly sql: string;
  readonly rows: number;
  readonly file: Pick<CsvScan, 'bytes' | 'sha256'>;
}

export type CellsOutcome =
  | { readonly ok: true; readonly cells: Cells }
  | { readonly ok: false; readonly problems: readonly Problem[] };

/**
 * Opens a CSV file for the engine. A plain file (see {@link CsvScan}) is read by the engine itself, as often as needed and
 * whatever its size; any other by the reader that every study uses, into a table of the engine. A row that is not as long
 * as the header is a problem, as is a quote out of place.
 *
 * @param path where the file is, links resolved; `shown` is its name in problems
 */
export async function openCells(
  engine: SqlEngine,
  table: TableName,
  path: string,
  shown: string,
): Promise<CellsOutcome> {
  const scan = await scanCsv(path);
  const plain = scan.plain === null ? null : await plainCells(engine, path, scan, scan.plain);
  if (plain !== null) return { ok: true, cells: plain };
  return keptCells(engine, table, path, shown, scan);
}

/** Null where the engine does not read it as it should: a row of another length, a line longer than it holds. */
async function plainCells(
  engine: SqlEngine,
  path: string,
  file: CsvScan,
  { header, rows }: { readonly header: readonly string[]; readonly rows: number },
): Promise<Cells | null> {
  if (header.length === 1) return null;
  const columns = header.map((_, c) => `c${c}: 'VARCHAR'`).join(', ');
  const name = await engineName(engine, path, 'csv');
  const sql = `read_csv(${sqlText(name)}, auto_detect = false, header = false, skip = 1, delim = ',', quote = '', escape = '', comment = '', new_line = '\\n', nullstr = '', strict_mode = true, null_padding = false, ignore_errors = false, columns = {${columns}})`;
  if (rows === 0) return { header, sql: noRows(header.length), rows, file };
  try {
    const counted = await engine.query(`SELECT count(*) AS n FROM ${sql}`);
    return counted.n?.[0] === rows ? { header, sql, rows, file } : null;
  } catch {
    return null;
  }
}

function noRows(columns: number): string {
  const nulls = Array.from({ length: columns }, (_, c) => `CAST(NULL AS VARCHAR) AS c${c}`);
  return `(SELECT ${nulls.join(', ')} WHERE false)`;
}

/** No text of this program can be longer. */
const LARGEST_TEXT = 2 ** 29;

/** Rows handed to the engine at a time; its own chunks hold as many. */
const CHUNK = 2048;

async function keptCells(
  engine: SqlEngine,
  table: TableName,
  path: string,
  shown: string,
  file: CsvScan,
): Promise<CellsOutcome> {
  if (file.bytes >= LARGEST_TEXT) return { ok: false, problems: [faultOf(table, tooLargeToRead(shown))] };
  const bytes = await readFile(path);
  const rows = await chunksOf(bytes);
  if (rows === null) return { ok: false, problems: structuralProblems(table, bytes) };
  const name = sqlName(`cells_${table}`);
  await engine.connection.run(
    `CREATE TEMP TABLE ${name} (${rows.header.map((_, c) => `c${c} VARCHAR`).join(', ')})`,
  );
  const appender = await engine.connection.createAppender(`cells_${table}`);
  for (const chunk of rows.chunks) appender.appendDataChunk(chunk);
  appender.closeSync();
  return { ok: true, cells: { header: rows.header, sql: name, rows: rows.count, file } };
}

/** The rows of a CSV file in the engine's own chunks; null where it is no table. */
async function chunksOf(
  bytes: Uint8Array,
): Promise<{ header: readonly string[]; chunks: DuckDBDataChunk[]; count: number } | null> {
  const { DuckDBDataChunk, VARCHAR } = await import('@duckdb/node-api');
  const decoded = csvText(bytes);
  if ('fault' in decoded || decoded.text.trim() === '' || delimiterFault(decoded.text) !== null) return null;
  let header: readonly string[] | null = null;
  const chunks: DuckDBDataChunk[] = [];
  let waiting: (string | null)[][] = [];
  let count = 0;
  let blank = 0;
  let ragged = false;
  const flush = () => {
    if (waiting.length === 0) return;
    const chunk = DuckDBDataChunk.create((header ?? []).map(() => VARCHAR));
    chunk.setRows(waiting);
    chunks.push(chunk);
    waiting = [];
  };
  const keep = (row: (string | null)[]) => {
    count += 1;
    if (waiting.push(row) === CHUNK) flush();
  };
  const fault = eachCsvRow(decoded.text, (cells) => {
    if (header === null) {
      header = cells;
      return;
    }
    if (cells.length === 1 && cells[0] === '') {
      blank += 1;
      return;
    }
    const { length } = header;
    for (; blank > 0; blank -= 1) keep(new Array<null>(length).fill(null));
    // A row of commas alone is a blank line too, whatever their number.
    const isEmpty = cells.every((cell) => cell === '');
    ragged ||= cells.length !== length && !isEmpty;
    if (!ragged) keep(Array.from({ length }, (_, c) => (isEmpty || cells[c] === '' ? null : cells[c]!)));
  });
  if (header === null || fault !== null || ragged) return null;
  // What follows the last line end is no line.
  for (; blank > (/[\r\n]$/.test(decoded.text) ? 1 : 0); blank -= 1)
    keep(new Array<null>((header as readonly string[]).length).fill(null));
  flush();
  return { header, chunks, count };
}

/** What keeps a file from being a table at all, in the words of the reader. */
export function structuralProblems(table: TableName, bytes: Uint8Array): readonly Problem[] {
  const { read, problems } = readCsvTable(table, bytes);
  const structural = (read?.problems ?? []).filter(
    ({ kind, severity, row, column }) =>
      kind === 'ragged-row' ||
      kind === 'duplicate-column' ||
      (kind === 'unknown-column' && severity === 'error') ||
      (kind === 'missing-column' && row !== null && column === null),
  );
  return [...problems, ...structural];
}

/** The same for a file that the engine has read already. */
export async function structuralProblemsOf(
  table: TableName,
  path: string,
  shown: string,
): Promise<readonly Problem[]> {
  if ((await stat(path)).size >= LARGEST_TEXT) return [faultOf(table, tooLargeToRead(shown))];
  return structuralProblems(table, await readFile(path));
}

/** A fault of the engine with a file that the reader finds nothing wrong with. */
export function engineProblem(table: string, shown: string, error: unknown): Problem {
  return faultOf(table, {
    kind: 'unreadable-file',
    found: `${shown}: ${engineWords(error)}`,
    expected: 'a file that the embedded SQL engine can read',
    remedy: 'Make the file again from its original, or pack it again.',
  });
}
