/** Whole numbers in a typed array that grows; what was never set is 0. */
export class GrowingIntegers {
  #values = new Int32Array(64);
  length = 0;

  at(index: number): number {
    return index < this.length ? this.#values[index]! : 0;
  }

  push(value: number): void {
    this.set(this.length, value);
  }

  set(index: number, value: number): void {
    if (index >= this.#values.length) {
      const larger = new Int32Array(Math.max(index + 1, 2 * this.#values.length));
      larger.set(this.#values.subarray(0, this.length));
      this.#values = larger;
    }
    this.#values[index] = value;
    if (index >= this.length) this.length = index + 1;
  }
}
