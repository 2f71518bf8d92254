import { createWriteStream } from 'node:fs';
import { join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { engineName } from '../store/engine-file.ts';
import { type SqlEngine, withSqlEngine } from '../sums/sql-engine.ts';
import { sqlName, sqlText } from '../sums/sql-text.ts';
import type { ByteFinder } from './byte-finder.ts';
import { type ByteSource, piecesOf } from './byte-source.ts';

const PIECE = 16 * 1024 * 1024;
/** A footer longer than this is read no further than its end: it lists columns, not rows. */
const MOST_OF_FOOTER = 256 * 1024 * 1024;

/**
 * Whether a word stands in the texts of a Parquet file, or in its footer; null where it cannot be read. The texts come a few
 * thousand at a time, so that a file may be larger than the memory.
 */
export async function isInParquet(bytes: ByteSource, finder: ByteFinder): Promise<boolean | null> {
  try {
    if (finder.isIn(await footerOf(bytes))) return true;
    return await withSqlEngine({}, async (engine) => {
      const parquet = await relationOf(engine, bytes);
      const wanted = { parts: finder.spellings };
      for (const { name, type } of await columnsOf(engine, parquet)) {
        if (finder.isIn(Buffer.from(name))) return true;
        if (NUMERIC.test(type)) continue;
        for await (const texts of textsOfColumn(engine, parquet, name, wanted))
          if (finder.isIn(Buffer.from(texts.join('\n')))) return true;
      }
      return false;
    });
  } catch {
    return null;
  }
}

/** Columns that hold numbers and moments, and so no word. */
export const NUMERIC = /^(BOOLEAN|U?(TINY|SMALL|BIG|HUGE)?INT(EGER)?|FLOAT|DOUBLE|DATE|TIME.*|DECIMAL.*)$/;

/** A Parquet file as the engine reads it, whatever its name. */
export async function parquetRelation(engine: SqlEngine, file: string): Promise<string> {
  return `read_parquet(${sqlText(await engineName(engine, file, 'parquet'))}, hive_partitioning = false)`;
}

export async function columnsOf(
  engine: SqlEngine,
  parquet: string,
): Promise<readonly { readonly name: string; readonly type: string }[]> {
  const { column_name, column_type } = await engine.query(`DESCRIBE SELECT * FROM ${parquet}`);
  return Array.from(column_name ?? [], (name, c) => ({ name: String(name), type: String(column_type?.[c]) }));
}

/** What the engine looks for in a column, so that a text in which there is nothing need not be handed over. */
export interface Wanted {
  /** Somewhere in the text, letter for letter. */
  readonly parts: readonly string[];
  /** All of the text, but for white space around it. */
  readonly whole?: ReadonlySet<string>;
}

/** Of more the engine is no faster than what they are handed over to. */
const MOST_PARTS = 64;
/** What String.prototype.trim takes away. */
const WHITE_SPACE =
  '\t\n\v\f\r \u00a0\u1680\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u2028\u2029\u202f\u205f\u3000\ufeff';

/**
 * The entries of a column in which something wanted may stand, as texts, a few thousand at a time, each text once in these.
 * The engine does not look for the distinct ones of the whole file: of ids that are all different it would have to hold every one.
 */
export async function* textsOfColumn(
  engine: SqlEngine,
  parquet: string,
  name: string,
  { parts, whole }: Wanted,
): AsyncGenerator<readonly string[]> {
  const text = `CAST(${sqlName(name)} AS VARCHAR)`;
  const named = (words: Iterable<string>): string[] =>
    [...words].filter((word) => !word.includes('\0')).map(sqlText);
  // A text with a zero, which no SQL can name, is always handed over.
  const tests = [...named(parts).map((part) => `contains(${text}, ${part})`), `contains(${text}, chr(0))`];
  const list = named(whole ?? []);
  if (list.length > 0) tests.push(`trim(${text}, ${sqlText(WHITE_SPACE)}) IN (${list.join(', ')})`);
  const isWanted = parts.length > MOST_PARTS ? 'true' : tests.join(' OR ');
  const result = await engine.connection.stream(
    `SELECT ${text} AS t FROM ${parquet} WHERE ${sqlName(name)} IS NOT NULL AND (${isWanted})`,
  );
  for (;;) {
    const chunk = await result.fetchChunk();
    if (chunk === null || chunk.rowCount === 0) return;
    yield [...new Set(chunk.getColumnValues(0).map(String))];
  }
}

/** What lies in another file, or in the memory, is first written into one for the engine. */
async function relationOf(engine: SqlEngine, bytes: ByteSource): Promise<string> {
  if (bytes.file !== undefined) return parquetRelation(engine, bytes.file);
  const file = join(engine.folder, 'looked-into.parquet');
  await pipeline(piecesOf(bytes, PIECE), createWriteStream(file));
  return parquetRelation(engine, file);
}

/** The footer lists columns, their least and largest values, and whatever was written into it; it is not packed. */
async function footerOf(bytes: ByteSource): Promise<Uint8Array> {
  const end = await bytes.read(Math.max(0, bytes.size - 8), 8);
  const stated = end.length < 8 ? 0 : end.readUInt32LE(0);
  const from = Math.max(0, bytes.size - 8 - Math.min(stated, MOST_OF_FOOTER));
  return bytes.read(from, bytes.size - from);
}
