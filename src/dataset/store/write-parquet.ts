import { mkdir, open, readdir, rename, rmdir } from 'node:fs/promises';
import { dirname, join } from 'node:path';
import { hashOfFile } from '../read/inside.ts';
import type { SqlEngine } from '../sums/sql-engine.ts';
import { sqlText } from '../sums/sql-text.ts';
import { engineName } from './engine-file.ts';
import type { WrittenPart } from './packed-descriptor.ts';

const ROWS_IN_GROUP = 122_880;
const GROUPS_IN_PART = 8;
/** A table with more rows is cut into files of so many, in the order of its rows. */
export const ROWS_IN_PART: number = ROWS_IN_GROUP * GROUPS_IN_PART;

/**
 * Writes the answer of a SELECT as Parquet, below `folder`: `path` where it has at most a million rows, else parts of a
 * million rows each in `partsFolder`. The order of the rows is kept, so that a part holds a range of them, and with
 * it a range of sessions where the table is sorted; the engine passes over the parts (and the groups of rows in them) whose
 * range a query does not touch.
 *
 * The engine's dictionaries of values take 0 and -0 for one, so a table with a -0 is written without them.
 *
 * @param places POSIX, relative to the folder; `path` ends in .parquet
 */
export async function writeParquet(
  engine: SqlEngine,
  select: string,
  folder: string,
  { path, partsFolder }: { readonly path: string; readonly partsFolder: string },
  { rows, hasMinusZero }: { readonly rows: number; readonly hasMinusZero: boolean },
): Promise<readonly WrittenPart[]> {
  const options = optionsFor(hasMinusZero);
  await mkdir(dirname(join(folder, path)), { recursive: true });
  if (rows <= ROWS_IN_PART) {
    await written(engine, `COPY (${select}) TO ${sqlText(join(folder, path))} (${options})`);
    return [await partAt(engine, folder, path)];
  }
  const inTurn = join(folder, `${partsFolder}.partial`);
  await written(
    engine,
    `COPY (${select}) TO ${sqlText(inTurn)} (${options}, ROW_GROUPS_PER_FILE ${GROUPS_IN_PART}, FILENAME_PATTERN 'part-{i}')`,
  );
  await mkdir(join(folder, partsFolder));
  const count = (await readdir(inTurn)).length;
  const parts: WrittenPart[] = [];
  for (let k = 0; k < count; k += 1) {
    const part = `${partsFolder}/part-${String(k + 1).padStart(5, '0')}.parquet`;
    await rename(join(inTurn, `part-${k}.parquet`), join(folder, part));
    parts.push(await partAt(engine, folder, part));
  }
  await rmdir(inTurn);
  return parts;
}

/** Writes the answer of a SELECT as one Parquet file of any length, as {@link writeParquet} does a short one. */
export async function writeWhole(
  engine: SqlEngine,
  select: string,
  file: string,
  { hasMinusZero }: { readonly hasMinusZero: boolean },
): Promise<void> {
  await written(engine, `COPY (${select}) TO ${sqlText(file)} (${optionsFor(hasMinusZero)})`);
}

function optionsFor(hasMinusZero: boolean): string {
  return `FORMAT parquet, COMPRESSION zstd, ROW_GROUP_SIZE ${ROWS_IN_GROUP}${hasMinusZero ? ', DICTIONARY_SIZE_LIMIT 0' : ''}`;
}

/** Writes by the engine, which says in words of its own that a disk is full; everybody else goes by the system's code. */
async function written(engine: SqlEngine, copy: string): Promise<void> {
  try {
    await engine.connection.run(copy);
  } catch (error) {
    if (!(error instanceof Error) || !/No space left on device|Disk quota exceeded/i.test(error.message))
      throw error;
    throw Object.assign(new Error('writeParquet: the disk is full. Make room.', { cause: error }), {
      code: 'ENOSPC',
    });
  }
}

async function partAt(engine: SqlEngine, folder: string, path: string): Promise<WrittenPart> {
  const full = join(folder, path);
  const handle = await open(full, 'r+');
  try {
    await handle.sync();
  } finally {
    await handle.close();
  }
  const { sha256, bytes } = await hashOfFile(full);
  const name = await engineName(engine, full, 'parquet');
  const counted = await engine.query(`SELECT num_rows AS n FROM parquet_file_metadata(${sqlText(name)})`);
  return { path, sha256, bytes, rows: Number(counted.n?.[0]) };
}
