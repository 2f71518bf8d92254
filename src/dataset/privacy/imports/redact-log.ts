import type { Counts } from '../../import/import-log.ts';
import { ERASED, type TextFinder } from '../sought.ts';

/** What an import loses when a golfer is erased. */
export interface LostImport {
  readonly lines: ReadonlySet<number>;
  readonly cells: readonly number[];
  /** Names of the files as they are now, by their hashes; null where nothing of the sheet is left. */
  readonly now: { readonly source: string; readonly mapping: string } | null;
  /** Where nothing is left: by what the old sheet is known again. */
  readonly fingerprint: string | null;
}

type Entry = Readonly<Record<string, unknown>>;
type Count = Exclude<keyof Counts, 'rows'>;

/**
 * Takes a golfer out of the lines of an import log, one at a time: what was done with the golfer's rows goes, and the line on
 * the file says how many rows were erased and where in the sheet they stood, never whose. Its counts still come to its rows:
 * imported, joined, there already, left out, and erased.
 */
export class LogEraser {
  readonly #lost: ReadonlyMap<number, LostImport>;
  readonly #swings: ReadonlySet<string>;
  readonly #texts: TextFinder;
  readonly #counts = new Map<number, Record<Count, number>>();

  constructor(lost: ReadonlyMap<number, LostImport>, swings: ReadonlySet<string>, texts: TextFinder) {
    this.#lost = lost;
    this.#swings = swings;
    this.#texts = texts;
  }

  /** Goes before {@link erased}, over every line: the line on the file stands before those it counts. */
  count(line: string): void {
    const entry = entryOf(line);
    const lost = this.#lostOf(entry);
    if (lost === undefined || entry?.what !== 'row' || !lost.lines.has(Number(entry.line))) return;
    const counts = this.#counts.get(Number(entry.import)) ?? {
      imported: 0,
      joined: 0,
      alreadyThere: 0,
      leftOut: 0,
    };
    counts[countOf(entry)] += 1;
    this.#counts.set(Number(entry.import), counts);
  }

  /** The line as it is to stand, or null where it goes. */
  erased(line: string): string | null {
    const entry = entryOf(line);
    if (entry === null) return this.#texts.isIn(line) ? null : line;
    const lost = this.#lostOf(entry);
    if (entry.what === 'swing without a row' && this.#swings.has(String(entry.swing))) return null;
    if (lost === undefined) return this.#texts.isIn(line) ? null : line;
    if (typeof entry.line === 'number' && lost.lines.has(entry.line)) return null;
    const end = /\r?\n$/.exec(line)?.[0] ?? '';
    const made = this.#changed(entry, lost);
    return this.#texts.replaced(`${JSON.stringify(made)}${end}`, ERASED).text;
  }

  #lostOf(entry: Entry | null): LostImport | undefined {
    return typeof entry?.import === 'number' ? this.#lost.get(entry.import) : undefined;
  }

  #changed(entry: Entry, lost: LostImport): Entry {
    if (entry.what === 'column') {
      const gone = lost.cells[Number(entry.column) - 1] ?? 0;
      return gone === 0 ? entry : { ...entry, values: Number(entry.values) - gone };
    }
    if (entry.what !== 'file') return entry;
    const counts = this.#counts.get(Number(entry.import));
    const left = Object.fromEntries(
      Object.entries(counts ?? {}).map(([name, gone]) => [name, Number(entry[name] ?? 0) - gone]),
    );
    const gone = Object.values(counts ?? {}).reduce((sum, one) => sum + one, 0);
    const { now, fingerprint } = lost;
    return {
      ...entry,
      original: now === null ? null : `originals/${now.source}`,
      source_sha256: now?.source ?? null,
      mapping_sha256: now?.mapping ?? null,
      ...left,
      ...(gone === 0
        ? {}
        : {
            erased: Number(entry.erased ?? 0) + gone,
            erased_lines: [...new Set([...linesIn(entry.erased_lines), ...lost.lines])].sort((a, b) => a - b),
          }),
      ...(fingerprint === null ? {} : { erased_source: fingerprint }),
    };
  }
}

function entryOf(line: string): Entry | null {
  try {
    const entry: unknown = JSON.parse(line);
    return typeof entry === 'object' && entry !== null && !Array.isArray(entry) ? (entry as Entry) : null;
  } catch {
    return null;
  }
}

function linesIn(value: unknown): number[] {
  return Array.isArray(value) ? value.filter((line) => typeof line === 'number') : [];
}

function countOf(entry: Entry): Count {
  if ('joined' in entry) return 'joined';
  if ('already_there' in entry) return 'alreadyThere';
  return 'left_out' in entry ? 'leftOut' : 'imported';
}
