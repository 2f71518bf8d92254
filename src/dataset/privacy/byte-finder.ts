import { fromWindows1252, toWindows1252 } from '../read/windows-1252.ts';
import { continuesWord, type Sought, spellings } from './sought.ts';
import { encoded, type TextEncoding } from './text-of.ts';

const ENCODINGS: readonly TextEncoding[] = ['utf-8', 'utf-16le', 'utf-16be', 'windows-1252'];

interface Needle {
  readonly encoding: TextEncoding;
  readonly bytes: Buffer;
  readonly opensWord: boolean;
  readonly closesWord: boolean;
  /** Longer ids of others that hold this one, and the byte at which it stands in them. */
  readonly holders: readonly { readonly bytes: Buffer; readonly at: number }[];
}

/**
 * Finds words in bytes, whatever these are, in UTF-8, in UTF-16 of both byte orders and in Windows-1252 (and so Latin-1). A word counts where no letter or
 * digit stands before or after it: G1 is found in G1-S1, in G1_a.c3d and in "G1", and not in G10 nor in AG1.
 */
export class ByteFinder {
  readonly #needles: readonly Needle[];
  /** One of these stands, letter for letter, in every text in which something is found, unless that holds a zero. */
  readonly spellings: readonly string[];
  /** Whether a word stands somewhere is settled by so many bytes before its first and behind its last. */
  readonly margin: number;

  constructor({ words, others }: Sought) {
    const longer = [...new Set(others.flatMap(spellings))];
    this.spellings = [...new Set(words.flatMap(spellings))];
    this.#needles = this.spellings.flatMap((text) =>
      ENCODINGS.flatMap((encoding): Needle[] => {
        const bytes = needleOf(text, encoding);
        if (bytes === null) return [];
        return [
          {
            encoding,
            bytes,
            opensWord: continuesWord([...text][0] ?? ''),
            closesWord: continuesWord([...text].at(-1) ?? ''),
            holders: longer.flatMap((other) => {
              const whole = needleOf(other, encoding);
              const at = whole?.indexOf(bytes) ?? -1;
              return whole === null || at < 0 ? [] : [{ bytes: whole, at }];
            }),
          },
        ];
      }),
    );
    const lengths = this.#needles.flatMap(({ bytes, holders }) => [
      bytes.length,
      ...holders.map((holder) => holder.bytes.length),
    ]);
    this.margin = lengths.reduce((most, length) => Math.max(most, length), 0) + 8;
  }

  isIn(bytes: Uint8Array): boolean {
    return this.places(bytes).next().done !== true;
  }

  /**
   * Whether a word stands in what comes in pieces, wherever it is cut. Each place is judged in a piece in which the bytes
   * around it are there too: so much of every piece is looked at again with the next.
   */
  async isInPieces(pieces: AsyncIterable<Uint8Array>): Promise<boolean> {
    let held: Uint8Array = new Uint8Array(0);
    let isFirst = true;
    const found = (isLast: boolean): boolean => {
      const from = isFirst ? 0 : this.margin;
      const to = isLast ? held.length : held.length - this.margin;
      for (const [start, end] of this.places(held)) if (start >= from && end <= to) return true;
      return false;
    };
    for await (const piece of pieces) {
      held = Buffer.concat([held, piece]);
      if (held.length < 4 * this.margin) continue;
      if (found(false)) return true;
      held = held.subarray(held.length - 3 * this.margin);
      isFirst = false;
    }
    return found(true);
  }

  /** Where the words stand: the first byte, and the byte after the last. */
  *places(given: Uint8Array): Generator<readonly [number, number]> {
    // A zero at either end makes whole the first and last character of UTF-16, whichever byte order is tried.
    const bytes = Buffer.concat([Buffer.alloc(1), given, Buffer.alloc(1)]);
    for (const needle of this.#needles) {
      for (let at = bytes.indexOf(needle.bytes); at >= 0; at = bytes.indexOf(needle.bytes, at + 1)) {
        const end = at + needle.bytes.length;
        if (needle.opensWord && continuesWord(characterBefore(bytes, at, needle.encoding))) continue;
        if (needle.closesWord && continuesWord(characterAfter(bytes, end, needle.encoding))) continue;
        if (needle.holders.some((holder) => isHeld(bytes, at, holder, needle.encoding))) continue;
        yield [at - 1, end - 1];
      }
    }
  }
}

function isHeld(
  bytes: Buffer,
  at: number,
  holder: Needle['holders'][number],
  encoding: TextEncoding,
): boolean {
  const start = at - holder.at;
  const end = start + holder.bytes.length;
  return (
    start >= 0 &&
    bytes.subarray(start, end).equals(holder.bytes) &&
    !continuesWord(characterBefore(bytes, start, encoding)) &&
    !continuesWord(characterAfter(bytes, end, encoding))
  );
}

/** The bytes of a word; null where the encoding does not have it, or has the same bytes as UTF-8 has. */
function needleOf(text: string, encoding: TextEncoding): Buffer | null {
  if (encoding !== 'windows-1252') return encoded(text, encoding);
  return /^[\0-\x7f]*$/.test(text) ? null : toWindows1252(text);
}

function characterBefore(bytes: Buffer, at: number, encoding: TextEncoding): string {
  if (encoding === 'windows-1252') return at < 1 ? '' : fromWindows1252(bytes.subarray(at - 1, at));
  if (encoding !== 'utf-8') return at < 2 ? '' : unitAt(bytes, at - 2, encoding);
  let start = at - 1;
  while (start > 0 && start > at - 4 && (bytes[start]! & 0xc0) === 0x80) start -= 1;
  return at === 0 ? '' : ([...bytes.toString('utf8', start, at)].at(-1) ?? '');
}

function characterAfter(bytes: Buffer, at: number, encoding: TextEncoding): string {
  if (encoding === 'windows-1252') return fromWindows1252(bytes.subarray(at, at + 1));
  if (encoding !== 'utf-8') return at + 2 > bytes.length ? '' : unitAt(bytes, at, encoding);
  const first = bytes[at] ?? 0;
  const length = first < 0x80 ? 1 : first < 0xe0 ? 2 : first < 0xf0 ? 3 : 4;
  return at >= bytes.length ? '' : ([...bytes.toString('utf8', at, at + length)][0] ?? '');
}

function unitAt(bytes: Buffer, at: number, encoding: TextEncoding): string {
  return String.fromCharCode(encoding === 'utf-16le' ? bytes.readUInt16LE(at) : bytes.readUInt16BE(at));
}
