import { writeWhole } from '../store/write-parquet.ts';
import { type SqlEngine, withSqlEngine } from '../sums/sql-engine.ts';
import { sqlName, sqlText } from '../sums/sql-text.ts';
import type { Belongings } from './belongings.ts';
import type { Treatment } from './erase-from-file.ts';
import { columnsOf, NUMERIC, parquetRelation, textsOfColumn } from './parquet-texts.ts';
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
  const keys: Readonly<Record<string, ReadonlySet<string>>> = {
    golfer_id: own.golfers,
    session_id: own.sessions,
    swing_id: own.swings,
  };
  const counts = await withSqlEngine({}, async (engine) => {
    const source = await parquetRelation(engine, from);
    const described = await columnsOf(engine, source);
    const hasKeys = described.some(({ name }) => Object.hasOwn(keys, name));
    const goes: string[] = [];
    const columns: string[] = [];
    const mentioned: string[] = [];
    for (const { name, type } of described) {
      const column = sqlName(name);
      const asText = `CAST(${column} AS VARCHAR)`;
      const ids = Object.hasOwn(keys, name) ? keys[name]! : new Set<string>();
      const isCut = (cell: string): boolean => ids.has(cell.trim()) || (!hasKeys && texts.isIn(cell));
      const [cuts, changes] = [new Set<string>(), new Set<string>()];
      if (!NUMERIC.test(type))
        for await (const cells of textsOfColumn(engine, source, name, { parts: texts.spellings, whole: ids }))
          for (const cell of cells)
            if (isCut(cell)) cuts.add(cell);
            else if (texts.isIn(cell)) changes.add(cell);
      const [cut, changed] = [[...cuts], [...changes]];
      if (cut.length > 0) goes.push(`COALESCE(${asText} IN (${cut.map(sqlText).join(', ')}), false)`);
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
    await writeWhole(engine, `SELECT ${columns.join(', ')} FROM ${source} WHERE NOT (${isGone})`, to, {
      hasMinusZero: await hasMinusZero(engine, source, described),
    });
    return { rows: Number(answer.cut?.[0] ?? 0), mentions: Number(answer.mentions?.[0] ?? 0) };
  });
  return counts === null ? { kind: 'keep' } : { kind: 'put', ...counts };
}

async function hasMinusZero(
  engine: SqlEngine,
  source: string,
  columns: readonly { readonly name: string; readonly type: string }[],
): Promise<boolean> {
  const tests = columns
    .filter(({ type }) => type === 'DOUBLE' || type === 'FLOAT')
    .map(({ name }) => `(${sqlName(name)} = 0 AND signbit(${sqlName(name)}))`);
  if (tests.length === 0) return false;
  const { n } = await engine.query(`SELECT count_if(${tests.join(' OR ')}) AS n FROM ${source}`);
  return Number(n?.[0]) > 0;
}
