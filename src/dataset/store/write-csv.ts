import { createHash } from 'node:crypto';
import { mkdir, open } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { csvLine } from '../csv-write.ts';
import { cellText } from '../from-rows.ts';
import type { SqlEngine } from '../sums/sql-engine.ts';
import { sqlName } from '../sums/sql-text.ts';
import type { ParquetTable } from './open-parquet.ts';

const WRITTEN_AT_ONCE = 2 ** 20;

/**
 * Writes a packed table as CSV, a piece at a time, as `tableToCsv` would: numbers in the shortest form that reads back the
 * same, yes and no, dates as year-month-day, cells quoted only where needed.
 *
 * @returns the SHA-256 of the file and its rows
 */
export async function writeCsv(
  engine: SqlEngine,
  { columns, names, types, parts }: ParquetTable,
  folder: string,
  path: string,
): Promise<{ readonly sha256: string; readonly rows: number }> {
  const target = join(folder, path);
  await mkdir(dirname(target), { recursive: true });
  const handle = await open(target, 'wx');
  const hash = createHash('sha256');
  let waiting: string[] = [csvLine(columns)];
  let length = 0;
  let rows = 0;
  const flush = async () => {
    const bytes = Buffer.from(waiting.join(''), 'utf8');
    hash.update(bytes);
    await handle.writeFile(bytes);
    waiting = [];
    length = 0;
  };
  const values = names.map((name, c) =>
    types[c] === 'DATE' ? `CAST(${sqlName(name)} AS VARCHAR)` : sqlName(name),
  );
  try {
    for (const { sql } of parts) {
      const result = await engine.connection.stream(`SELECT ${values.join(', ')} FROM ${sql}`);
      for (;;) {
        const chunk = await result.fetchChunk();
        if (chunk === null || chunk.rowCount === 0) break;
        const cells = columns.map((_, c) => chunk.getColumnValues(c));
        for (let row = 0; row < chunk.rowCount; row += 1) {
          const line = csvLine(cells.map((column) => cellText(column[row])));
          waiting.push(line);
          length += line.length;
        }
        rows += chunk.rowCount;
        if (length > WRITTEN_AT_ONCE) await flush();
      }
    }
    await flush();
    await handle.sync();
  } finally {
    await handle.close();
  }
  return { sha256: hash.digest('hex'), rows };
}
