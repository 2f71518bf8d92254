import { sqlName, sqlText } from '../sums/sql-text.ts';
import { cellsOf, recordsOf } from './cut-records.ts';
import { textOf } from './text-of.ts';

/** The columns by which a row belongs to a golfer, or names what does. */
export const KEY_COLUMNS = ['golfer_id', 'session_id', 'swing_id', 'file', 'sha256', 'layout'] as const;
export type KeyColumn = (typeof KEY_COLUMNS)[number];
export type KeyColumns = ReadonlyMap<KeyColumn, readonly string[]>;

/** Places of the key columns in a header. */
export function keyPlaces(header: string | undefined): ReadonlyMap<KeyColumn, number> {
  const names = cellsOf((header ?? '').replace(/^\uFEFF/, '')).map((name) => name.trim());
  return new Map(
    KEY_COLUMNS.flatMap((name): [KeyColumn, number][] => {
      const place = names.indexOf(name);
      return place < 0 ? [] : [[name, place]];
    }),
  );
}

/** The key columns of a CSV table. */
export function csvKeyColumns(bytes: Uint8Array): KeyColumns {
  const columns = new Map<KeyColumn, string[]>();
  let places: ReadonlyMap<KeyColumn, number> | null = null;
  for (const record of recordsOf(textOf(bytes).text)) {
    if (places === null) {
      places = keyPlaces(record);
      for (const name of places.keys()) columns.set(name, []);
      continue;
    }
    const cells = cellsOf(record);
    for (const [name, place] of places) columns.get(name)!.push((cells[place] ?? '').trim());
  }
  return columns;
}

/** The key columns of a Parquet file. */
export async function parquetKeyColumns(file: string): Promise<KeyColumns> {
  const { withSqlEngine } = await import('../sums/sql-engine.ts');
  return withSqlEngine({}, async (engine) => {
    const source = `read_parquet(${sqlText(file)}, hive_partitioning = false)`;
    const described = await engine.query(`DESCRIBE SELECT * FROM ${source}`);
    const there = Array.from(described.column_name ?? [], String);
    const names = KEY_COLUMNS.filter((name) => there.includes(name));
    if (names.length === 0) return new Map();
    const cells = names.map((name) => `CAST(${sqlName(name)} AS VARCHAR) AS ${name}`).join(', ');
    const answer = await engine.query(`SELECT ${cells} FROM ${source}`);
    return new Map(names.map((name) => [name, Array.from(answer[name] ?? [], (cell) => String(cell ?? ''))]));
  });
}
