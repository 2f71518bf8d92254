/** So many different texts are each kept once; any further one is kept as often as it comes, which costs fewer bytes than finding it again. */
const MOST_KEPT_ONCE = 65_536;
/** A longer text is hardly ever there twice. */
const LONGEST_KEPT_ONCE = 64;
const PIECE = 2 ** 22;
/** Codes from here on are places in the bytes. */
const IN_BYTES = 2 ** 30;
/** Half of a pair of surrogates, which cannot be written as UTF-8. */
const HALF_A_PAIR = /\p{Cs}/u;

/**
 * Texts held as small whole numbers, for the cells of a sheet: a million rows of a dozen cells are a million rows of a dozen
 * strings no more. What comes out is what went in, character for character. The empty text is 0.
 */
export class TextPool {
  readonly #texts: string[] = [''];
  readonly #codeOf = new Map<string, number>([['', 0]]);
  readonly #pieces: Buffer[] = [];
  #at = PIECE;
  /** Where each text in the bytes begins and ends, counted over all pieces. */
  #starts = new Float64Array(64);
  #lengths = new Int32Array(64);
  #count = 0;

  /** @returns the number by which `text` gives it back */
  add(text: string): number {
    const known = this.#codeOf.get(text);
    if (known !== undefined) return known;
    const isShort = text.length <= LONGEST_KEPT_ONCE;
    if (isShort && this.#codeOf.size < MOST_KEPT_ONCE) {
      const own = copied(text);
      this.#codeOf.set(own, this.#texts.length);
      return this.#texts.push(own) - 1;
    }
    if (4 * text.length > PIECE || HALF_A_PAIR.test(text)) return this.#texts.push(copied(text)) - 1;
    return this.#write(text);
  }

  text(code: number): string {
    if (code < IN_BYTES) return this.#texts[code]!;
    const entry = code - IN_BYTES;
    const start = this.#starts[entry]!;
    const at = start % PIECE;
    return this.#pieces[(start - at) / PIECE]!.toString('utf8', at, at + this.#lengths[entry]!);
  }

  #write(text: string): number {
    if (this.#at + 4 * text.length > PIECE) {
      this.#pieces.push(Buffer.allocUnsafeSlow(PIECE));
      this.#at = 0;
    }
    const bytes = this.#pieces.at(-1)!.write(text, this.#at, 'utf8');
    if (this.#count === this.#starts.length) {
      const [starts, lengths] = [new Float64Array(2 * this.#count), new Int32Array(2 * this.#count)];
      starts.set(this.#starts);
      lengths.set(this.#lengths);
      this.#starts = starts;
      this.#lengths = lengths;
    }
    this.#starts[this.#count] = (this.#pieces.length - 1) * PIECE + this.#at;
    this.#lengths[this.#count] = bytes;
    this.#at += bytes;
    this.#count += 1;
    return IN_BYTES + this.#count - 1;
  }
}

/** A text that was cut out of a file keeps the whole file in memory; a copy does not. */
function copied(text: string): string {
  return text.length < 13 || HALF_A_PAIR.test(text) ? text : Buffer.from(text, 'utf8').toString('utf8');
}
