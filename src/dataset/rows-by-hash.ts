/**
 * Rows found again by a hash of what they hold: open addressing with linear probing in two typed arrays, 8 to 16 bytes a row,
 * where a Map of texts takes a hundred. Two rows may share a hash, so whoever looks says whether the row found is the one meant.
 *
 * @see Knuth DE (1998) The Art of Computer Programming 3, 2nd ed, 6.4, Algorithm L
 */
export class RowsByHash {
  #rows: Int32Array;
  #hashes: Int32Array;
  #count = 0;

  /** @param expected about how many rows will come; more are no fault */
  constructor(expected = 0) {
    const size = 2 ** Math.ceil(Math.log2(Math.max(16, 2 * expected)));
    this.#rows = new Int32Array(size).fill(-1);
    this.#hashes = new Int32Array(size);
  }

  /** The first row with this hash that `is` the one meant, or -1. */
  find(hash: number, is: (row: number) => boolean): number {
    const last = this.#rows.length - 1;
    for (let at = spread(hash) & last; ; at = (at + 1) & last) {
      const row = this.#rows[at]!;
      if (row < 0 || (this.#hashes[at] === (hash | 0) && is(row))) return row;
    }
  }

  add(hash: number, row: number): void {
    if (2 * (this.#count + 1) > this.#rows.length) this.#grow();
    this.#put(hash | 0, row);
    this.#count += 1;
  }

  #put(hash: number, row: number): void {
    const last = this.#rows.length - 1;
    let at = spread(hash) & last;
    while (this.#rows[at]! >= 0) at = (at + 1) & last;
    this.#rows[at] = row;
    this.#hashes[at] = hash;
  }

  #grow(): void {
    const [rows, hashes] = [this.#rows, this.#hashes];
    this.#rows = new Int32Array(2 * rows.length).fill(-1);
    this.#hashes = new Int32Array(2 * rows.length);
    for (let at = 0; at < rows.length; at += 1) if (rows[at]! >= 0) this.#put(hashes[at]!, rows[at]!);
  }
}

/** Takes 32 bits more into a hash (the step of FNV-1a, Fowler, Noll and Vo, on words in place of bytes). */
export function hashWith(hash: number, word: number): number {
  return Math.imul(hash ^ word, 0x01000193);
}

/** A hash of a text. */
export function hashOfText(text: string): number {
  let hash = 0x811c9dc5;
  for (let at = 0; at < text.length; at += 1) hash = hashWith(hash, text.charCodeAt(at));
  return hash;
}

/** Lets every bit of a hash reach the low ones, by which its place is chosen (the end of MurmurHash3, Appleby). */
function spread(hash: number): number {
  let mixed = hash ^ (hash >>> 16);
  mixed = Math.imul(mixed, 0x85ebca6b);
  mixed ^= mixed >>> 13;
  mixed = Math.imul(mixed, 0xc2b2ae35);
  return (mixed ^ (mixed >>> 16)) >>> 0;
}
