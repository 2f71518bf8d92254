import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { CURVE_INSTANTS_FILE, CURVES_FILE } from '../curves/curve-set.ts';
import { TABLE_NAMES } from '../generated/rows.ts';
import { codeOf } from '../new-files.ts';
import { readDescriptor } from '../read/descriptor.ts';
import { possibleCodes } from './codes.ts';
import { csvKeyColumns, type KeyColumns, parquetKeyColumns } from './key-columns.ts';
import { notAWordOfItsOwn, type Sought, TextFinder } from './sought.ts';

/** What in a dataset's folder is a golfer's. */
export interface Belongings {
  readonly sought: Sought;
  readonly golfers: ReadonlySet<string>;
  readonly sessions: ReadonlySet<string>;
  readonly swings: ReadonlySet<string>;
  /** Paths of capture files. */
  readonly captures: ReadonlySet<string>;
  /** Capture files of the others: these stay, whatever their names. */
  readonly othersCaptures: ReadonlySet<string>;
  /** Layouts that captures are read with. */
  readonly layouts: ReadonlySet<string>;
  /** Paths of the tables, the curves among them. */
  readonly tables: ReadonlySet<string>;
  /** Whether some table has the golfer. */
  readonly isKnown: boolean;
  /** Why the golfer's id cannot be told from other words, where a table has it. */
  readonly notAWord: string | null;
}

/** Goes through the tables (CSV and Parquet) of a folder for all that hangs on the golfer by a key. */
export async function belongingsOf(
  folder: string,
  paths: readonly string[],
  golfer: string,
  key: Uint8Array | null,
): Promise<Belongings> {
  const descriptor = readDescriptor(await bytesOf(join(folder, 'datapackage.json')));
  const csv = [
    ...TABLE_NAMES.map((name) => descriptor.paths.get(name) ?? `${name}.csv`),
    CURVES_FILE,
    CURVE_INSTANTS_FILE,
  ].filter((path) => paths.includes(path) && !isParquet(path));
  const tables: KeyColumns[] = [];
  for (const path of csv) tables.push(csvKeyColumns(await readFile(join(folder, path))));
  for (const path of paths.filter(isParquet)) tables.push(await parquetKeyColumns(join(folder, path)));
  const codes = key === null ? [] : possibleCodes(key, 'golfer', golfer);
  const golfers = new Set([golfer, ...codes]);
  const sessions = ownedBy(tables, 'golfer_id', golfers, 'session_id');
  const swings = ownedBy(tables, 'session_id', sessions, 'swing_id');
  const captures = ownedBy(tables, 'swing_id', swings, 'file');
  // The same bytes may lie there under the name of somebody else too.
  const othersHashes = new Set(
    tables.flatMap((table) =>
      (table.get('sha256') ?? []).filter((_, row) => !swings.has(table.get('swing_id')?.[row] ?? '')),
    ),
  );
  const hashes = [...ownedBy(tables, 'swing_id', swings, 'sha256')].filter((hash) => !othersHashes.has(hash));
  const everybody = new Set(tables.flatMap((table) => table.get('golfer_id') ?? []));
  const notAWord = notAWordOfItsOwn(golfer);
  const words = notAWord === null ? [golfer, ...codes] : codes;
  return {
    sought: soughtFor(words, [...sessions, ...swings, ...captures, ...hashes], everybody, golfers),
    golfers,
    sessions,
    swings,
    captures,
    othersCaptures: new Set(
      tables.flatMap((table) =>
        (table.get('swing_id') ?? []).flatMap((swing, row) => {
          const file = table.get('file')?.[row];
          return swings.has(swing) || file === undefined ? [] : [file];
        }),
      ),
    ),
    layouts: new Set(tables.flatMap((table) => table.get('layout') ?? [])),
    tables: new Set(csv),
    isKnown: [...golfers].some((id) => everybody.has(id)),
    notAWord: everybody.has(golfer) ? notAWord : null,
  };
}

export const isParquet = (path: string): boolean => /\.(parquet|pq)$/i.test(path);

/** The values of one column in the rows whose other column is one of those owned. */
function ownedBy(
  tables: readonly KeyColumns[],
  by: 'golfer_id' | 'session_id' | 'swing_id',
  owners: ReadonlySet<string>,
  what: 'session_id' | 'swing_id' | 'file' | 'sha256',
): ReadonlySet<string> {
  const owned = new Set<string>();
  for (const table of tables) {
    const values = table.get(what);
    if (values === undefined) continue;
    (table.get(by) ?? []).forEach((owner, row) => {
      const value = values[row];
      if (value && owners.has(owner)) owned.add(value);
    });
  }
  return owned;
}

/** Ids such as G1S1 hold the golfer's id without an end of the word; long ones of letters and digits are nobody else's. */
function soughtFor(
  golferWords: readonly string[],
  related: readonly string[],
  everybody: ReadonlySet<string>,
  golfers: ReadonlySet<string>,
): Sought {
  const own = { golfers: [...golfers], words: golferWords, others: [] };
  if (golferWords.length === 0) return own;
  const finder = new TextFinder(own);
  const more = related.filter(
    (id) =>
      !finder.isIn(id) &&
      (golferWords.some((word) => id.includes(word)) ||
        (id.length >= 6 && /\p{L}/u.test(id) && /\d/.test(id))),
  );
  const others = [...everybody].filter((id) => !golfers.has(id) && finder.isIn(id));
  return { ...own, words: [...golferWords, ...more], others };
}

async function bytesOf(path: string): Promise<Uint8Array | null> {
  try {
    return await readFile(path);
  } catch (error) {
    if (codeOf(error) === 'ENOENT') return null;
    throw error;
  }
}
