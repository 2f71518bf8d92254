import { dirname, posix } from 'node:path';
import type { Belongings } from './belongings.ts';
import { isParquet } from './belongings.ts';
import { ByteFinder } from './byte-finder.ts';
import { c3dTextBytes } from './c3d-texts.ts';
import { cutJson } from './cut-json.ts';
import { cellsOf, cutRecords, recordsOf } from './cut-records.ts';
import { eraseFromParquet } from './erase-from-parquet.ts';
import { keyPlaces } from './key-columns.ts';
import { lookInside } from './look-inside.ts';
import { TextFinder } from './sought.ts';
import { textOf } from './text-of.ts';

/** What becomes of a file when a golfer is erased. */
export type Treatment =
  | { readonly kind: 'keep' }
  | { readonly kind: 'drop'; readonly why: 'capture' | 'mentions' }
  | { readonly kind: 'put'; readonly bytes: Uint8Array; readonly rows: number; readonly mentions: number };

/** What stands where a golfer was mentioned in what belongs to somebody else. */
export const ERASED = 'erased';

const KEEP: Treatment = { kind: 'keep' };
const DROP: Treatment = { kind: 'drop', why: 'mentions' };

/** Decides, file by file. */
export class FileEraser {
  readonly #own: Belongings;
  readonly #texts: TextFinder;
  readonly #bytes: ByteFinder;

  constructor(own: Belongings) {
    this.#own = own;
    this.#texts = new TextFinder(own.sought);
    this.#bytes = new ByteFinder(own.sought);
  }

  /** The path under which a file stays: a capture of another golfer whose name mentions this one is renamed. */
  pathOf(path: string): string {
    return this.#own.othersCaptures.has(path) ? this.#texts.replaced(path, ERASED).text : path;
  }

  /**
   * @param pages folders in which a web page lies: what lies beside one is a report on everybody in it, and goes whole
   */
  async treat(path: string, bytes: Uint8Array, pages: ReadonlySet<string>): Promise<Treatment> {
    if (this.#own.captures.has(path)) return { kind: 'drop', why: 'capture' };
    if (this.#own.tables.has(path)) return this.#table(bytes);
    if (this.#texts.isIn(path) && !this.#own.othersCaptures.has(path)) return DROP;
    if (isParquet(path))
      return eraseFromParquet(
        bytes,
        this.#own,
        this.#texts,
        (cell) => this.#texts.replaced(cell, ERASED).text,
      );
    const ending = posix.extname(path).toLowerCase();
    // Rows of other tables belong to a golfer by their keys, also where no id stands for itself.
    if (ending === '.csv' || ending === '.tsv') return this.#rows(bytes, !pages.has(dirname(path)));
    const { parts } = await lookInside(bytes);
    if (!parts.some((part) => this.#bytes.isIn(part))) return KEEP;
    if (this.#own.layouts.has(path) || path === 'datapackage.json') return this.#mentions(bytes);
    if (pages.has(dirname(path))) return DROP;
    if (['.jsonl', '.ndjson', '.md', '.txt', '.log', '.yaml', '.yml'].includes(ending))
      return this.#lines(bytes);
    if (ending === '.json') return this.#json(bytes);
    return c3dTextBytes(bytes) === null ? DROP : this.#blanked(bytes);
  }

  /** A table of the dataset: rows by key go, and mentions in the rows of others are replaced. */
  #table(bytes: Uint8Array): Treatment {
    const { text, encode } = textOf(bytes);
    const { text: left, cut } = cutRecords(text, this.#ownRecord(text));
    const { text: clean, count } = this.#texts.replaced(left, ERASED);
    return cut + count === 0 ? KEEP : { kind: 'put', bytes: encode(clean), rows: cut, mentions: count };
  }

  #rows(bytes: Uint8Array, isLoose: boolean): Treatment {
    const { text, encode } = textOf(bytes);
    const isOwn = this.#ownRecord(text);
    const { text: left, cut } = cutRecords(
      text,
      (record, index) => isOwn(record, index) || (index > 0 && this.#texts.isIn(record)),
    );
    if (cut > 0 && !isLoose) return DROP;
    const { text: clean, count } = this.#texts.replaced(left, ERASED);
    return cut + count === 0 ? KEEP : { kind: 'put', bytes: encode(clean), rows: cut, mentions: count };
  }

  #ownRecord(text: string): (record: string, index: number) => boolean {
    const places = keyPlaces(recordsOf(text).next().value ?? '');
    const { golfers, sessions, swings } = this.#own;
    const keys = (
      [
        ['golfer_id', golfers],
        ['session_id', sessions],
        ['swing_id', swings],
      ] as const
    ).flatMap(([name, ids]) => {
      const place = places.get(name);
      return place === undefined ? [] : [{ place, ids }];
    });
    return (record, index) => {
      if (index === 0 || keys.length === 0) return false;
      const cells = cellsOf(record);
      return keys.some(({ place, ids }) => ids.has((cells[place] ?? '').trim()));
    };
  }

  #mentions(bytes: Uint8Array): Treatment {
    const { text, encode } = textOf(bytes);
    const { text: clean, count } = this.#texts.replaced(text, ERASED);
    return { kind: 'put', bytes: encode(clean), rows: 0, mentions: count };
  }

  #lines(bytes: Uint8Array): Treatment {
    const { text, encode } = textOf(bytes);
    const lines = text.split(/(?<=\n)/);
    const left = lines.filter((line) => !this.#texts.isIn(line));
    return { kind: 'put', bytes: encode(left.join('')), rows: lines.length - left.length, mentions: 0 };
  }

  #json(bytes: Uint8Array): Treatment {
    const { text, encode } = textOf(bytes);
    try {
      const { value, cut } = cutJson(JSON.parse(text.replace(/^\uFEFF/, '')), (word) =>
        this.#texts.isIn(word),
      );
      if (value === undefined || cut === 0) return DROP;
      const indent = /^\s*[[{]\n( +)/.exec(text)?.[1]?.length ?? 0;
      const end = text.endsWith('\n') ? '\n' : '';
      return {
        kind: 'put',
        bytes: encode(JSON.stringify(value, null, indent) + end),
        rows: cut,
        mentions: 0,
      };
    } catch {
      return DROP;
    }
  }

  /** In a capture of somebody else the letters are overwritten, so that everything keeps its place. */
  #blanked(bytes: Uint8Array): Treatment {
    const copy = Uint8Array.from(bytes);
    let mentions = 0;
    for (const [from, to] of [...this.#bytes.places(c3dTextBytes(bytes)!)]) {
      copy.fill(0x78, from, to);
      mentions += 1;
    }
    return { kind: 'put', bytes: copy, rows: 0, mentions };
  }
}
