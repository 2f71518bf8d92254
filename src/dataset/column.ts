/** Columns grow while a file is read; what stays is a Float64Array, or codes into the distinct texts. */

/** Numbers; yes/no as 1/0; NaN where the cell is empty (or could not be read). */
export interface NumberColumn {
  readonly kind: 'number';
  readonly values: Float64Array;
}

/** Texts and dates: `levels[codes[i]]` is the text of row i; code -1 is an empty cell. */
export interface TextColumn {
  readonly kind: 'text';
  readonly codes: Int32Array;
  readonly levels: readonly string[];
}

/** A column of a table: numbers with NaN for missing, or texts with null. */
export type Column = NumberColumn | TextColumn;

/** A Float64Array that grows as values are pushed. */
export class NumberBuilder {
  #values = new Float64Array(256);
  #length = 0;

  push(value: number): void {
    if (this.#length === this.#values.length) {
      const larger = new Float64Array(2 * this.#length);
      larger.set(this.#values);
      this.#values = larger;
    }
    this.#values[this.#length] = value;
    this.#length += 1;
  }

  finish(): NumberColumn {
    return { kind: 'number', values: this.#values.slice(0, this.#length) };
  }
}

/** An Int32Array that grows as values are pushed. */
export class IntegerBuilder {
  #values = new Int32Array(256);
  #length = 0;

  push(value: number): void {
    if (this.#length === this.#values.length) {
      const larger = new Int32Array(2 * this.#length);
      larger.set(this.#values);
      this.#values = larger;
    }
    this.#values[this.#length] = value;
    this.#length += 1;
  }

  finish(): Int32Array {
    return this.#values.slice(0, this.#length);
  }
}

/** Codes into the distinct texts seen so far. */
export class TextBuilder {
  readonly #codes = new IntegerBuilder();
  readonly #levels: string[] = [];
  readonly #codeOf = new Map<string, number>();
  #last = '';
  #lastCode = -1;

  push(text: string): void {
    // Rows of one session, task or club stand together, so the text before is most often the same.
    if (text !== this.#last) {
      this.#lastCode = text === '' ? -1 : this.#code(text);
      this.#last = text;
    }
    this.#codes.push(this.#lastCode);
  }

  #code(text: string): number {
    const known = this.#codeOf.get(text);
    if (known !== undefined) return known;
    const code = this.#levels.length;
    this.#levels.push(text);
    this.#codeOf.set(text, code);
    return code;
  }

  finish(): TextColumn {
    return { kind: 'text', codes: this.#codes.finish(), levels: this.#levels };
  }
}

/** The text of row `index`, or null where it is empty. */
export function textAt(column: TextColumn, index: number): string | null {
  const code = column.codes[index] ?? -1;
  return code < 0 ? null : (column.levels[code] ?? null);
}
