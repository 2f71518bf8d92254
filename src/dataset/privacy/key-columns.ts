import { sqlName, sqlText } from '../sums/sql-text.ts';
import { withFileSource } from './byte-source.ts';
import { cellsOf } from './records.ts';
import { recordLists } from './text-records.ts';

/** The columns by which a row belongs to a golfer, or names what does. */
export const KEY_COLUMNS = ['golfer_id', 'session_id', 'swing_id', 'file', 'sha256', 'layout'] as const;
export type KeyColumn = (typeof KEY_COLUMNS)[number];

/** The key columns of a table on the disk: each question goes through the file once, so that it may be of any length. */
export interface KeyTable {
  /** The distinct values of a column; none where the table does not have it. */
  values(column: KeyColumn): Promise<ReadonlySet<string>>;
  /** The distinct values of `what` in the rows whose `by` is one of the owners (or, by `others`, is not). */
  owned(
    what: KeyColumn,
    by: KeyColumn,
    owners: ReadonlySet<string>,
    whose?: 'own' | 'others',
  ): Promise<ReadonlySet<string>>;
}

const HEADER_BYTES = 65_536;

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

export function csvKeyTable(file: string, pieceBytes: number): KeyTable {
  /** Calls back with the cells of each row, as long as the header has all the columns. */
  const each = (columns: readonly KeyColumn[], row: (...cells: string[]) => void): Promise<void> =>
    withFileSource(file, async (source) => {
      // A table without the columns is not gone through.
      const header = (await source.read(0, HEADER_BYTES)).toString('latin1').split(/[\r\n]/, 1)[0]!;
      if (!header.includes('\0') && columns.some((column) => !header.includes(column))) return;
      let places: number[] | null = null;
      for await (const { records } of recordLists(source, pieceBytes))
        for (const record of records) {
          if (places === null) {
            const there = keyPlaces(record);
            places = columns.map((column) => there.get(column) ?? -1);
            if (places.includes(-1)) return;
            continue;
          }
          const cells = cellsOf(record);
          row(...places.map((place) => (cells[place] ?? '').trim()));
        }
    });
  return {
    values: async (column) => {
      const found = new Set<string>();
      await each([column], (value) => found.add(value!));
      found.delete('');
      return found;
    },
    owned: async (what, by, owners, whose = 'own') => {
      const found = new Set<string>();
      await each([what, by], (value, owner) => {
        if (owners.has(owner!) === (whose === 'own')) found.add(value!);
      });
      found.delete('');
      return found;
    },
  };
}

export async function parquetKeyTable(file: string): Promise<KeyTable> {
  const { withSqlEngine } = await import('../sums/sql-engine.ts');
  const source = `read_parquet(${sqlText(file)}, hive_partitioning = false)`;
  const asText = (column: KeyColumn): string => `trim(CAST(${sqlName(column)} AS VARCHAR))`;
  const there = new Set(
    await withSqlEngine({}, async (engine) =>
      Array.from((await engine.query(`DESCRIBE SELECT * FROM ${source}`)).column_name ?? [], String),
    ),
  );
  const distinct = (column: KeyColumn, where: string): Promise<ReadonlySet<string>> =>
    withSqlEngine({}, async (engine) => {
      const { value } = await engine.query(
        `SELECT DISTINCT ${asText(column)} AS value FROM ${source} WHERE ${sqlName(column)} IS NOT NULL AND ${where}`,
      );
      const found = new Set(Array.from(value ?? [], String));
      found.delete('');
      return found;
    });
  return {
    values: async (column) => (there.has(column) ? distinct(column, 'true') : new Set()),
    owned: async (what, by, owners, whose = 'own') => {
      if (!there.has(what) || !there.has(by)) return new Set();
      const list = owners.size === 0 ? 'NULL' : [...owners].map(sqlText).join(', ');
      const isOwn = `COALESCE(${asText(by)} IN (${list}), false)`;
      return distinct(what, whose === 'own' ? isOwn : `NOT ${isOwn}`);
    },
  };
}
