import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { withSqlEngine } from '../sums/sql-engine.ts';
import { sqlName, sqlText } from '../sums/sql-text.ts';

/** The distinct texts of each column of a Parquet file, and its footer; null where it cannot be read. */
export async function parquetTexts(bytes: Uint8Array): Promise<readonly Uint8Array[] | null> {
  return inTemporaryFolder(async (folder) => {
    const file = join(folder, 'file.parquet');
    await writeFile(file, bytes);
    try {
      return await withSqlEngine({}, async (engine) => {
        const parts: Uint8Array[] = [footerOf(bytes)];
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
function footerOf(bytes: Uint8Array): Uint8Array {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const length = bytes.length < 12 ? 0 : view.getUint32(bytes.length - 8, true);
  return bytes.subarray(Math.max(0, bytes.length - 8 - length));
}

export async function inTemporaryFolder<T>(work: (folder: string) => Promise<T>): Promise<T> {
  const folder = await mkdtemp(join(tmpdir(), 'proving-range-'));
  try {
    return await work(folder);
  } finally {
    await rm(folder, { recursive: true, force: true });
  }
}
