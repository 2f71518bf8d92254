import { TABLE_NAMES } from '../generated/rows.ts';
import { tableSchema } from '../schema.ts';

/** What is looked for when a golfer is erased. */
export interface Sought {
  /** The golfer's ids and pseudonyms, as they are compared with cells. */
  readonly golfers: readonly string[];
  /** Everything that is looked for as a whole word: the golfers, and what names their sessions, swings and files. */
  readonly words: readonly string[];
  /** Longer ids of other golfers in which such a word stands: G1-2 when G1 is looked for. */
  readonly others: readonly string[];
}

/** What stands where a golfer was mentioned in what belongs to somebody else. */
export const ERASED = 'erased';

const EDGE = /[\p{L}\p{N}]/u;

/** Whether a character continues a word: letters and digits do; hyphens, underscores, dots and slashes end it. */
export function continuesWord(character: string): boolean {
  return EDGE.test(character);
}

/**
 * Why an id cannot be told from other words in a text, or null where it can. For such ids there is no proof that nothing
 * is left, and taking away every 7 would ruin what belongs to others.
 */
export function notAWordOfItsOwn(id: string): string | null {
  if (/^[\d.,+\-\s]+$/.test(id)) return 'a number, which cannot be told from any other number';
  if ([...id].length < 2) return 'a single character, which stands in every text';
  if (vocabulary().has(id.toLowerCase())) return 'a word that the tables use themselves';
  return null;
}

const WORDS_OF_FILES =
  'csv tsv json jsonl c3d md txt html parquet xlsx datapackage readme plan curves curve instants erasures';

let words: ReadonlySet<string> | null = null;

function vocabulary(): ReadonlySet<string> {
  words ??= new Set([
    ...WORDS_OF_FILES.split(' '),
    ...TABLE_NAMES.flatMap((name) => [
      name,
      ...tableSchema(name).fields.flatMap((field) => [
        field.name,
        ...(field.constraints?.enum ?? []),
        ...(field.knownValues ?? []),
        ...field.title.toLowerCase().split(/\W+/),
        ...field.description.toLowerCase().split(/\W+/),
      ]),
    ]).filter((word) => word !== tableSchema('golfers').fields[0]!.example?.toLowerCase()),
  ]);
  return words;
}

/** A word as it may be written in JSON, HTML or an address, and with its accents composed in either way. */
export function spellings(word: string): readonly string[] {
  const composed = [word, word.normalize('NFC'), word.normalize('NFD')];
  return [
    ...new Set(
      composed.flatMap((text) => [
        text,
        JSON.stringify(text).slice(1, -1),
        text.replace(/[^\0-\x7f]/g, (unit) => `\\u${unit.charCodeAt(0).toString(16).padStart(4, '0')}`),
        text
          .replaceAll('&', '&amp;')
          .replaceAll('<', '&lt;')
          .replaceAll('>', '&gt;')
          .replaceAll('"', '&quot;'),
        encodeURIComponent(text.replace(/\p{Surrogate}/gu, '\uFFFD')),
      ]),
    ),
  ];
}

/** Finds and replaces the words sought in texts. */
export class TextFinder {
  readonly #pattern: RegExp;
  /** One of these stands, letter for letter, in every text in which something is found. */
  readonly spellings: readonly string[];

  constructor({ words: sought, others }: Sought) {
    this.spellings = [...new Set(sought.flatMap(spellings))];
    const alternatives = (list: readonly string[]): string =>
      [...new Set(list.flatMap(spellings))]
        .sort((a, b) => b.length - a.length || (a < b ? -1 : 1))
        .map((text) => {
          const before = continuesWord([...text][0] ?? '') ? '(?<![\\p{L}\\p{N}])' : '';
          const after = continuesWord([...text].at(-1) ?? '') ? '(?![\\p{L}\\p{N}])' : '';
          return `${before}${text.replace(/[\\^$.*+?()[\]{}|/-]/g, (c) => (c === '-' ? '\\x2d' : `\\${c}`))}${after}`;
        })
        .join('|');
    // A longer id of somebody else is passed over before the word in it is tried.
    this.#pattern = new RegExp(
      // Nothing sought is found nowhere, where an empty alternative would be found everywhere.
      sought.length === 0
        ? '(?!)'
        : `${others.length === 0 ? '' : `${alternatives(others)}|`}(${alternatives(sought)})`,
      'gu',
    );
  }

  isIn(text: string): boolean {
    for (const match of text.matchAll(this.#pattern)) if (match[1] !== undefined) return true;
    return false;
  }

  /** The text with each word replaced, and how many were. */
  replaced(text: string, by: string): { readonly text: string; readonly count: number } {
    let count = 0;
    const result = text.replace(this.#pattern, (all: string, word: string | undefined) => {
      if (word === undefined) return all;
      count += 1;
      return by;
    });
    return { text: result, count };
  }
}
