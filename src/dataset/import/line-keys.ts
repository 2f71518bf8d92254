import { GrowingIntegers } from './growing-integers.ts';
import { TextPool } from './text-pool.ts';

export interface LineKey {
  /** Of the sheet. */
  readonly line: number;
  /** What the row is known by in its table. */
  readonly key: string;
}

/** Lines of the sheet, each with the key of the row it became: a list that may have a million entries. */
export class LineKeys implements Iterable<LineKey> {
  readonly #lines = new GrowingIntegers();
  readonly #keys = new GrowingIntegers();
  readonly #pool = new TextPool();

  get length(): number {
    return this.#lines.length;
  }

  push({ line, key }: LineKey): void {
    this.#lines.push(line);
    this.#keys.push(this.#pool.add(key));
  }

  *[Symbol.iterator](): IterableIterator<LineKey> {
    for (let index = 0; index < this.length; index += 1)
      yield { line: this.#lines.at(index), key: this.#pool.text(this.#keys.at(index)) };
  }
}
