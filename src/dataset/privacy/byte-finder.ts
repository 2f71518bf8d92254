import { continuesWord, type Sought, spellings } from './sought.ts';

type Encoding = 'utf8' | 'utf16le' | 'utf16be';
const ENCODINGS: readonly Encoding[] = ['utf8', 'utf16le', 'utf16be'];

interface Needle {
  readonly encoding: Encoding;
  readonly bytes: Buffer;
  readonly opensWord: boolean;
  readonly closesWord: boolean;
  /** Longer ids of others that hold this one, and the byte at which it stands in them. */
  readonly holders: readonly { readonly bytes: Buffer; readonly at: number }[];
}

/**
 * Finds words in bytes, whatever these are, in UTF-8 and in UTF-16 of both byte orders. A word counts where no letter or
 * digit stands before or after it: G1 is found in G1-S1, in G1_a.c3d and in "G1", and not in G10 nor in AG1.
 */
export class ByteFinder {
  readonly #needles: readonly Needle[];

  constructor({ words, others }: Sought) {
    const longer = [...new Set(others.flatMap(spellings))];
    this.#needles = [...new Set(words.flatMap(spellings))].flatMap((text) =>
      ENCODINGS.map((encoding): Needle => {
        const bytes = encoded(text, encoding);
        return {
          encoding,
          bytes,
          opensWord: continuesWord([...text][0] ?? ''),
          closesWord: continuesWord([...text].at(-1) ?? ''),
          holders: longer.flatMap((other) => {
            const whole = encoded(other, encoding);
            const at = whole.indexOf(bytes);
            return at < 0 ? [] : [{ bytes: whole, at }];
          }),
        };
      }),
    );
  }

  isIn(bytes: Uint8Array): boolean {
    return this.places(bytes).next().done !== true;
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

function isHeld(bytes: Buffer, at: number, holder: Needle['holders'][number], encoding: Encoding): boolean {
  const start = at - holder.at;
  const end = start + holder.bytes.length;
  return (
    start >= 0 &&
    bytes.subarray(start, end).equals(holder.bytes) &&
    !continuesWord(characterBefore(bytes, start, encoding)) &&
    !continuesWord(characterAfter(bytes, end, encoding))
  );
}

function encoded(text: string, encoding: Encoding): Buffer {
  if (encoding === 'utf8') return Buffer.from(text, 'utf8');
  const bytes = Buffer.from(text, 'utf16le');
  return encoding === 'utf16le' ? bytes : bytes.swap16();
}

function characterBefore(bytes: Buffer, at: number, encoding: Encoding): string {
  if (encoding !== 'utf8') return at < 2 ? '' : unitAt(bytes, at - 2, encoding);
  let start = at - 1;
  while (start > 0 && start > at - 4 && (bytes[start]! & 0xc0) === 0x80) start -= 1;
  return at === 0 ? '' : ([...bytes.toString('utf8', start, at)].at(-1) ?? '');
}

function characterAfter(bytes: Buffer, at: number, encoding: Encoding): string {
  if (encoding !== 'utf8') return at + 2 > bytes.length ? '' : unitAt(bytes, at, encoding);
  const first = bytes[at] ?? 0;
  const length = first < 0x80 ? 1 : first < 0xe0 ? 2 : first < 0xf0 ? 3 : 4;
  return at >= bytes.length ? '' : ([...bytes.toString('utf8', at, at + length)][0] ?? '');
}

function unitAt(bytes: Buffer, at: number, encoding: Encoding): string {
  return String.fromCharCode(encoding === 'utf16le' ? bytes.readUInt16LE(at) : bytes.readUInt16BE(at));
}
