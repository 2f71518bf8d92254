import { sqlName, sqlText } from '../sums/sql-text.ts';
import type { Belongings } from './belongings.ts';
import type { Treatment } from './erase-from-file.ts';
import { NUMERIC } from './parquet-texts.ts';
import type { TextFinder } from './sought.ts';

/** The word that stands for a golfer who is mentioned in somebody else's row. */
type Replaced = (cell: string) => string;

/**
 * A Parquet file without the golfer's rows: those with one of the golfer's keys; a text of another row that mentions the
 * golfer is replaced, or, where the file has no keys that say whose a row is, the row goes. What stays keeps its order and
 * its types; what is written into the footer beside the columns goes. The new file is written only where something goes.
 */
export async function eraseFromParquet(
  from: string,
  to: string,
  own: Belongings,
  texts: TextFinder,
  replaced: Replaced,
): Promise<Treatment> {
  const { withSqlEngine } = await import('../sums/sql-engine.ts');
  const keys: Readonly<Record<string, ReadonlySet<string>>> = {
    golfer_id: own.golfers,
    session_id: own.sessions,
    swing_id: own.swings,
  };
  const source = `read_parquet(${sqlText(from)}, hive_partitioning = false)`;
  const counts = await withSqlEngine({}, async (engine) => {
    const described = await engine.query(`DESCRIBE SELECT * FROM ${source}`);
    const names = Array.from(described.column_name ?? [], String);
    const types = Array.from(described.column_type ?? [], String);
    const hasKeys = names.some((name) => Object.hasOwn(keys, name));
    const goes: string[] = [];
    const columns: string[] = [];
    const mentioned: string[] = [];
    for (const [index, name] of names.entries()) {
      const column = sqlName(name);
      const asText = `CAST(${column} AS VARCHAR)`;
      const cells = NUMERIC.test(types[index]!)
        ? []
        : Array.from(
            (await engine.query(`SELECT DISTINCT ${asText} AS t FROM ${source} WHERE ${column} IS NOT NULL`))
              .t ?? [],
            String,
          );
      const ids = Object.hasOwn(keys, name) ? keys[name]! : new Set<string>();
      const isCut = (cell: string): boolean => ids.has(cell.trim()) || (!hasKeys && texts.isIn(cell));
      const cut = cells.filter(isCut);
      if (cut.length > 0) goes.push(`COALESCE(${asText} IN (${cut.map(sqlText).join(', ')}), false)`);
      const changed = cells.filter((cell) => !isCut(cell) && texts.isIn(cell));
      if (changed.length === 0) columns.push(column);
      else {
        const cases = changed
          .map((cell) => `WHEN ${sqlText(cell)} THEN ${sqlText(replaced(cell))}`)
          .join(' ');
        columns.push(`CASE ${asText} ${cases} ELSE ${column} END AS ${column}`);
        mentioned.push(`count(*) FILTER (${asText} IN (${changed.map(sqlText).join(', ')}))`);
      }
    }
    if (goes.length + mentioned.length === 0) return null;
    const isGone = goes.length === 0 ? 'false' : goes.join(' OR ');
    const answer = await engine.query(
      `SELECT count(*) FILTER (${isGone}) AS cut, ${mentioned.length === 0 ? '0' : mentioned.join(' + ')} AS mentions FROM ${source}`,
    );
    await engine.query(
      `COPY (SELECT ${columns.join(', ')} FROM ${source} WHERE NOT (${isGone})) TO ${sqlText(to)} (FORMAT parquet, COMPRESSION zstd)`,
    );
    return { rows: Number(answer.cut?.[0] ?? 0), mentions: Number(answer.mentions?.[0] ?? 0) };
  });
  return counts === null ? { kind: 'keep' } : { kind: 'put', ...counts };
}
