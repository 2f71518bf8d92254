import { copyFile, open, readFile, rm, writeFile } from 'node:fs/promises';
import { dirname, posix } from 'node:path';
import type { Belongings } from './belongings.ts';
import { isParquet } from './belongings.ts';
import { ByteFinder } from './byte-finder.ts';
import { withFileSource } from './byte-source.ts';
import { c3dTextBytes } from './c3d-texts.ts';
import { cutJson } from './cut-json.ts';
import { eraseFromParquet } from './erase-from-parquet.ts';
import { keyPlaces } from './key-columns.ts';
import { lookInside, type Sizes } from './look-inside.ts';
import { cellsOf } from './records.ts';
import { ERASED, TextFinder } from './sought.ts';
import { textOf } from './text-of.ts';
import { type RecordChange, RecordTooLongError, rewriteRecords } from './text-records.ts';

/** What becomes of a file when a golfer is erased. */
export type Treatment =
  | { readonly kind: 'keep' }
  | { readonly kind: 'drop'; readonly why: 'capture' | 'mentions' }
  /** A new file was written. */
  | { readonly kind: 'put'; readonly rows: number; readonly mentions: number };

const KEEP: Treatment = { kind: 'keep' };
const DROP: Treatment = { kind: 'drop', why: 'mentions' };
const OF_LINES: readonly string[] = ['.jsonl', '.ndjson', '.md', '.txt', '.log', '.yaml', '.yml'];

/** Decides, file by file, and writes what is left of a file. Tables and logs may be larger than the memory. */
export class FileEraser {
  readonly #own: Belongings;
  readonly #texts: TextFinder;
  readonly #bytes: ByteFinder;
  readonly #sizes: Sizes;

  constructor(own: Belongings, sizes: Sizes) {
    this.#own = own;
    this.#texts = new TextFinder(own.sought);
    this.#bytes = new ByteFinder(own.sought);
    this.#sizes = sizes;
  }

  /** The path under which a file stays: a capture of another golfer whose name mentions this one is renamed. */
  pathOf(path: string): string {
    return this.#own.othersCaptures.has(path) ? this.#texts.replaced(path, ERASED).text : path;
  }

  /**
   * @param from the file, which is not touched
   * @param to where what is left of it goes, if anything of it does
   * @param pages folders in which a web page lies: what lies beside one is a report on everybody in it, and goes whole
   */
  async treat(path: string, from: string, to: string, pages: ReadonlySet<string>): Promise<Treatment> {
    if (this.#own.captures.has(path)) return { kind: 'drop', why: 'capture' };
    if (this.#own.tables.has(path)) return this.#table(from, to);
    if (this.#texts.isIn(path) && !this.#own.othersCaptures.has(path)) return DROP;
    if (path.endsWith('/')) return KEEP;
    if (isParquet(path))
      return eraseFromParquet(
        from,
        to,
        this.#own,
        this.#texts,
        (cell) => this.#texts.replaced(cell, ERASED).text,
      );
    const ending = posix.extname(path).toLowerCase();
    // Rows of other tables belong to a golfer by their keys, also where no id stands for itself.
    if (ending === '.csv' || ending === '.tsv')
      try {
        return await this.#rows(from, to, !pages.has(dirname(path)));
      } catch (error) {
        if (!(error instanceof RecordTooLongError)) throw error;
        // No rows that could be cut: what is begun of it goes, and it stays or goes whole by what is found in it.
        await rm(to, { force: true });
      }
    const seen = await withFileSource(from, (source) => lookInside(source, this.#bytes, this.#sizes));
    if (!seen.found) return KEEP;
    if (this.#own.layouts.has(path) || path === 'datapackage.json') return this.#mentions(from, to);
    if (pages.has(dirname(path))) return DROP;
    if (OF_LINES.includes(ending)) return this.#lines(from, to);
    if (ending === '.json') return this.#json(from, to);
    return this.#blanked(from, to);
  }

  /** The lines of a file by a rule of their own: an import's log. */
  async byLine(from: string, to: string, change: (line: string) => string | null): Promise<Treatment> {
    return this.#rewritten(from, to, change, true);
  }

  /** A table of the dataset: rows by key go, and mentions in the rows of others are replaced. */
  async #table(from: string, to: string): Promise<Treatment> {
    const isOwn = this.#ownRecord();
    return this.#rewritten(from, to, (record, index) => (isOwn(record, index) ? null : record));
  }

  async #rows(from: string, to: string, isLoose: boolean): Promise<Treatment> {
    const isOwn = this.#ownRecord();
    const made = await this.#rewritten(from, to, (record, index) =>
      isOwn(record, index) || (index > 0 && this.#texts.isIn(record)) ? null : record,
    );
    return made.kind === 'put' && made.rows > 0 && !isLoose ? DROP : made;
  }

  /** Mentions in what a change leaves are replaced. */
  async #rewritten(from: string, to: string, change: RecordChange, lines = false): Promise<Treatment> {
    let mentions = 0;
    const { cut, changed } = await rewriteRecords(
      from,
      to,
      this.#sizes.pieceBytes,
      (record, index) => {
        const kept = change(record, index);
        if (kept === null) return null;
        const { text, count } = this.#texts.replaced(kept, ERASED);
        mentions += count;
        return text;
      },
      lines,
    );
    return cut + changed === 0 ? KEEP : { kind: 'put', rows: cut, mentions };
  }

  #ownRecord(): (record: string, index: number) => boolean {
    const { golfers, sessions, swings } = this.#own;
    let keys: { readonly place: number; readonly ids: ReadonlySet<string> }[] = [];
    return (record, index) => {
      if (index === 0) {
        const places = keyPlaces(record);
        keys = (
          [
            ['golfer_id', golfers],
            ['session_id', sessions],
            ['swing_id', swings],
          ] as const
        ).flatMap(([name, ids]) => {
          const place = places.get(name);
          return place === undefined ? [] : [{ place, ids }];
        });
        return false;
      }
      if (keys.length === 0) return false;
      const cells = cellsOf(record);
      return keys.some(({ place, ids }) => ids.has((cells[place] ?? '').trim()));
    };
  }

  async #mentions(from: string, to: string): Promise<Treatment> {
    const { text, encode } = textOf(await readFile(from));
    const { text: clean, count } = this.#texts.replaced(text, ERASED);
    await writeFile(to, encode(clean), { flag: 'wx' });
    return { kind: 'put', rows: 0, mentions: count };
  }

  async #lines(from: string, to: string): Promise<Treatment> {
    let made: Treatment;
    try {
      made = await this.#rewritten(from, to, (line) => (this.#texts.isIn(line) ? null : line), true);
    } catch (error) {
      if (error instanceof RecordTooLongError) return DROP;
      throw error;
    }
    // What was found in it, and is in no line, cannot be cut.
    return made.kind === 'keep' ? DROP : made;
  }

  async #json(from: string, to: string): Promise<Treatment> {
    try {
      const { text, encode } = textOf(await readFile(from));
      const { value, cut } = cutJson(JSON.parse(text.replace(/^\uFEFF/, '')), (word) =>
        this.#texts.isIn(word),
      );
      if (value === undefined || cut === 0) return DROP;
      const indent = /^\s*[[{]\n( +)/.exec(text)?.[1]?.length ?? 0;
      const end = text.endsWith('\n') ? '\n' : '';
      await writeFile(to, encode(JSON.stringify(value, null, indent) + end), { flag: 'wx' });
      return { kind: 'put', rows: cut, mentions: 0 };
    } catch {
      return DROP;
    }
  }

  /** In a capture of somebody else the letters are overwritten, so that everything keeps its place. */
  async #blanked(from: string, to: string): Promise<Treatment> {
    const texts = await withFileSource(from, c3dTextBytes);
    if (texts === null) return DROP;
    let mentions = 0;
    for (const [start, end] of [...this.#bytes.places(texts)]) {
      texts.fill(0x78, start, end);
      mentions += 1;
    }
    await copyFile(from, to);
    const file = await open(to, 'r+');
    try {
      await file.write(texts, 0, texts.length, 0);
    } finally {
      await file.close();
    }
    return { kind: 'put', rows: 0, mentions };
  }
}
