import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import { sqlName, sqlText } from '../sums/sql-text.ts';
import type { Belongings } from './belongings.ts';
import type { Treatment } from './erase-from-file.ts';
import { inTemporaryFolder, NUMERIC } from './parquet-texts.ts';
import type { TextFinder } from './sought.ts';

/**
 * A Parquet file without the golfer's rows: those with one of the golfer's keys, and those in which a text mentions the
 * golfer. The rows that stay keep their order and their types; what is written into the footer beside the columns goes.
 */
export async function eraseFromParquet(
  bytes: Uint8Array,
  own: Belongings,
  texts: TextFinder,
): Promise<Treatment> {
  const { withSqlEngine } = await import('../sums/sql-engine.ts');
  return inTemporaryFolder(async (folder) => {
    const [from, to] = [join(folder, 'old.parquet'), join(folder, 'new.parquet')];
    await writeFile(from, bytes);
    const rows = await withSqlEngine({}, async (engine) => {
      const source = `read_parquet(${sqlText(from)}, hive_partitioning = false)`;
      const described = await engine.query(`DESCRIBE SELECT * FROM ${source}`);
      const types = described.column_type ?? [];
      const columns = Array.from(described.column_name ?? [], String).filter(
        (_, index) => !NUMERIC.test(String(types[index])),
      );
      const conditions: string[] = [];
      for (const name of columns) {
        const cells = await engine.query(
          `SELECT DISTINCT CAST(${sqlName(name)} AS VARCHAR) AS t FROM ${source} WHERE ${sqlName(name)} IS NOT NULL`,
        );
        const gone = Array.from(cells.t ?? [], String).filter(
          (cell) => isOwn(name, cell) || texts.isIn(cell),
        );
        if (gone.length > 0)
          conditions.push(
            `COALESCE(CAST(${sqlName(name)} AS VARCHAR) IN (${gone.map(sqlText).join(', ')}), false)`,
          );
      }
      if (conditions.length === 0) return 0;
      const goes = conditions.join(' OR ');
      const counted = await engine.query(`SELECT count(*) AS n FROM ${source} WHERE ${goes}`);
      await engine.query(
        `COPY (SELECT * FROM ${source} WHERE NOT (${goes})) TO ${sqlText(to)} (FORMAT parquet, COMPRESSION zstd)`,
      );
      return Number(counted.n?.[0] ?? 0);
    });
    return rows === 0 ? { kind: 'keep' } : { kind: 'put', bytes: await readFile(to), rows, mentions: 0 };
  });

  function isOwn(column: string, cell: string): boolean {
    const ids = { golfer_id: own.golfers, session_id: own.sessions, swing_id: own.swings }[column];
    return ids?.has(cell.trim()) === true;
  }
}
