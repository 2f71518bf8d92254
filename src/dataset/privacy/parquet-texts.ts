import { createWriteStream } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { withSqlEngine } from '../sums/sql-engine.ts';
import { sqlName, sqlText } from '../sums/sql-text.ts';
import { type ByteSource, piecesOf } from './byte-source.ts';

const PIECE = 16 * 1024 * 1024;

/** The distinct texts of each column of a Parquet file, and its footer; null where it cannot be read. */
export async function parquetTexts(bytes: ByteSource): Promise<readonly Uint8Array[] | null> {
  return inTemporaryFolder(async (folder) => {
    const file = join(folder, 'file.parquet');
    await pipeline(piecesOf(bytes, PIECE), createWriteStream(file));
    try {
      return await withSqlEngine({}, async (engine) => {
        const parts: Uint8Array[] = [await footerOf(bytes)];
        const source = `read_parquet(${sqlText(file)}, hive_partitioning = false)`;
        const columns = await engine.query(`DESCRIBE SELECT * FROM ${source}`);
        const types = columns.column_type ?? [];
        for (const [index, name] of (columns.column_name ?? []).entries()) {
          parts.push(Buffer.from(String(name)));
          if (NUMERIC.test(String(types[index]))) continue;
          const cells = await engine.query(
            `SELECT DISTINCT CAST(${sqlName(String(name))} AS VARCHAR) AS t FROM ${source} WHERE ${sqlName(String(name))} IS NOT NULL`,
          );
          parts.push(Buffer.from(Array.from(cells.t ?? [], String).join('\n')));
        }
        return parts;
      });
    } catch {
      return null;
    }
  });
}

export const NUMERIC = /^(BOOLEAN|U?(TINY|SMALL|BIG|HUGE)?INT(EGER)?|FLOAT|DOUBLE|DATE|TIME.*|DECIMAL.*)$/;

/** The footer lists columns, their least and largest values, and whatever was written into it; it is not packed. */
async function footerOf(bytes: ByteSource): Promise<Uint8Array> {
  const end = await bytes.read(Math.max(0, bytes.size - 8), 8);
  const from = Math.max(0, bytes.size - 8 - (end.length < 8 ? 0 : end.readUInt32LE(0)));
  return bytes.read(from, bytes.size - from);
}

export async function inTemporaryFolder<T>(work: (folder: string) => Promise<T>): Promise<T> {
  const folder = await mkdtemp(join(tmpdir(), 'proving-range-'));
  try {
    return await work(folder);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
