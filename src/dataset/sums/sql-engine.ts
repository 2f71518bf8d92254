import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { DuckDBConnection } from '@duckdb/node-api';

/** How much the embedded SQL engine may use. */
export interface EngineOptions {
  /** Working memory of the engine in megabytes (default 512); what does not fit goes to a temporary folder. */
  readonly memoryMegabytes?: number;
  /** Default 1: with several, the order in which rows are added up, and so the last digit, is left to chance. */
  readonly threads?: number;
}

/** A column of a query's answer: numbers, or entries as they stand (texts, missing as null). */
export type AnswerColumn = Float64Array | (string | number | boolean | null)[];

export interface SqlEngine {
  query(sql: string): Promise<Record<string, AnswerColumn>>;
  readonly connection: DuckDBConnection;
  /** A folder of its own for what is needed only while it works; removed afterwards. */
  readonly folder: string;
}

/**
 * Runs `work` with an embedded SQL engine in memory of its own, and puts everything away afterwards. The engine is
 * loaded only here; it neither fetches nor loads anything from outside. Errors are the engine's, in its words.
 */
export async function withSqlEngine<T>(
  { memoryMegabytes = 512, threads = 1 }: EngineOptions,
  work: (engine: SqlEngine) => Promise<T>,
): Promise<T> {
  const { DuckDBInstance } = await import('@duckdb/node-api');
  const folder = await mkdtemp(join(tmpdir(), 'proving-range-'));
  try {
    const instance = await DuckDBInstance.create(':memory:', {
      memory_limit: `${memoryMegabytes}MB`,
      threads: String(threads),
      temp_directory: folder,
      autoinstall_known_extensions: 'false',
      autoload_known_extensions: 'false',
    });
    const connection = await instance.connect();
    try {
      return await work({ query: (sql) => answer(connection, sql), connection, folder });
    } finally {
      connection.closeSync();
      instance.closeSync();
    }
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}

/** Reads an answer piece by piece, numbers straight into typed arrays: an answer can have a row for each of a million cells. */
async function answer(connection: DuckDBConnection, sql: string): Promise<Record<string, AnswerColumn>> {
  const result = await connection.stream(sql);
  const names = result.columnNames();
  const pieces: unknown[][][] = names.map(() => []);
  for (;;) {
    const chunk = await result.fetchChunk();
    if (chunk === null || chunk.rowCount === 0) break;
    names.forEach((_, c) => {
      pieces[c]!.push(chunk.getColumnValues(c));
    });
  }
  return Object.fromEntries(names.map((name, c) => [name, joined(pieces[c]!)]));
}

function joined(pieces: readonly (readonly unknown[])[]): AnswerColumn {
  const length = pieces.reduce((sum, piece) => sum + piece.length, 0);
  const numeric = pieces.every((piece) =>
    piece.every((entry) => entry === null || typeof entry === 'number' || typeof entry === 'bigint'),
  );
  if (!numeric) return pieces.flatMap((piece) => piece.map(plain));
  const numbers = new Float64Array(length);
  let at = 0;
  for (const piece of pieces)
    for (const entry of piece) numbers[at++] = entry === null ? Number.NaN : Number(entry);
  return numbers;
}

/** Dates, decimals and the like as the text they are written as. */
function plain(entry: unknown): string | number | boolean | null {
  if (entry === null || typeof entry === 'number' || typeof entry === 'boolean') return entry;
  return String(entry);
}
