import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import { CURVE_INSTANTS_FILE, CURVES_FILE } from '../curves/curve-set.ts';
import { TABLE_NAMES } from '../generated/rows.ts';
import { codeOf } from '../new-files.ts';
import { readDescriptor } from '../read/descriptor.ts';
import { possibleCodes } from './codes.ts';
import { csvKeyTable, type KeyColumn, type KeyTable, parquetKeyTable } from './key-columns.ts';
import { nameVariants } from './name-variants.ts';
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
  /** Spellings of the name that are not looked for, since they are somebody else's too, or are words of their own. */
  readonly namesNotSought: readonly string[];
}

/**
 * Goes through the tables (CSV and Parquet) of a folder for all that hangs on the golfer by a key.
 *
 * @param names how golfers are written in the sheets that were imported, by their ids
 */
export async function belongingsOf(
  folder: string,
  paths: readonly string[],
  golfer: string,
  key: Uint8Array | null,
  names: ReadonlyMap<string, ReadonlySet<string>>,
  pieceBytes: number,
): Promise<Belongings> {
  const descriptor = readDescriptor(await bytesOf(join(folder, 'datapackage.json')));
  const csv = [
    ...TABLE_NAMES.map((name) => descriptor.paths.get(name) ?? `${name}.csv`),
    CURVES_FILE,
    CURVE_INSTANTS_FILE,
  ].filter((path) => paths.includes(path) && !isParquet(path));
  const tables = csv.map((path) => csvKeyTable(join(folder, path), pieceBytes));
  for (const path of paths.filter(isParquet)) tables.push(await parquetKeyTable(join(folder, path)));
  const codes = key === null ? [] : possibleCodes(key, 'golfer', golfer);
  const golfers = new Set([golfer, ...codes]);
  const everybody = await valuesIn(tables, 'golfer_id');
  const sessions = await ownedIn(tables, 'session_id', 'golfer_id', golfers);
  const swings = await ownedIn(tables, 'swing_id', 'session_id', sessions);
  const captures = await ownedIn(tables, 'file', 'swing_id', swings);
  // The same bytes may lie there under the name of somebody else too.
  const othersHashes = await ownedIn(tables, 'sha256', 'swing_id', swings, 'others');
  const hashes = [...(await ownedIn(tables, 'sha256', 'swing_id', swings))].filter(
    (hash) => !othersHashes.has(hash),
  );
  const notAWord = notAWordOfItsOwn(golfer);
  const ids = notAWord === null ? [golfer, ...codes] : codes;
  const { sought: spelt, notSought } = namesOf(golfers, names);
  const related = [...sessions, ...swings, ...captures, ...hashes];
  const othersNames = [...names].flatMap(([id, own]) => (golfers.has(id) ? [] : [...own]));
  return {
    sought: soughtFor(
      [...ids, ...spelt],
      ids,
      related,
      [...everybody, ...othersNames.flatMap(nameVariants)],
      golfers,
    ),
    golfers,
    sessions,
    swings,
    captures,
    othersCaptures: await ownedIn(tables, 'file', 'swing_id', swings, 'others'),
    layouts: await valuesIn(tables, 'layout'),
    tables: new Set(csv),
    isKnown: [...golfers].some((id) => everybody.has(id)),
    notAWord: everybody.has(golfer) ? notAWord : null,
    namesNotSought: notSought,
  };
}

export const isParquet = (path: string): boolean => /\.(parquet|pq)$/i.test(path);

async function valuesIn(tables: readonly KeyTable[], column: KeyColumn): Promise<ReadonlySet<string>> {
  const all = new Set<string>();
  for (const table of tables) for (const value of await table.values(column)) all.add(value);
  return all;
}

async function ownedIn(
  tables: readonly KeyTable[],
  what: KeyColumn,
  by: KeyColumn,
  owners: ReadonlySet<string>,
  whose: 'own' | 'others' = 'own',
): Promise<ReadonlySet<string>> {
  const all = new Set<string>();
  for (const table of tables) for (const value of await table.owned(what, by, owners, whose)) all.add(value);
  return all;
}

/** The golfer's names that can be looked for, in all the ways they may be written, and those that cannot. */
function namesOf(
  golfers: ReadonlySet<string>,
  names: ReadonlyMap<string, ReadonlySet<string>>,
): { readonly sought: readonly string[]; readonly notSought: readonly string[] } {
  const others = new Set(
    [...names].flatMap(([id, own]) => (golfers.has(id) ? [] : [...own].flatMap(nameVariants))),
  );
  const own = [...names].flatMap(([id, spellings]) => (golfers.has(id) ? [...spellings] : []));
  const isUnfit = (name: string): boolean => others.has(name) || notAWordOfItsOwn(name) !== null;
  return {
    sought: own
      .filter((name) => !isUnfit(name))
      .flatMap((name) => nameVariants(name).filter((one) => !isUnfit(one))),
    notSought: own.filter(isUnfit),
  };
}

/** Ids such as G1S1 hold the golfer's id without an end of the word; long ones of letters and digits are nobody else's. */
function soughtFor(
  golferWords: readonly string[],
  golferIds: readonly string[],
  related: readonly string[],
  everybody: readonly string[],
  golfers: ReadonlySet<string>,
): Sought {
  const own = { golfers: [...golfers], words: golferWords, others: [] };
  if (golferWords.length === 0) return own;
  const finder = new TextFinder(own);
  const more = related.filter(
    (id) =>
      !finder.isIn(id) &&
      (golferIds.some((word) => id.includes(word)) || (id.length >= 6 && /\p{L}/u.test(id) && /\d/.test(id))),
  );
  const others = [...new Set(everybody)].filter((id) => !golfers.has(id) && finder.isIn(id));
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
