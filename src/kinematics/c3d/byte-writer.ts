import type { ByteOrder } from './bytes.ts';

/** Puts numbers of one machine's order one after another into memory that grows as needed. */
export class ByteWriter {
  private readonly order: ByteOrder;
  private data: Uint8Array<ArrayBuffer>;
  private view: DataView;
  /** Bytes written so far. */
  length = 0;

  /** @param expected bytes that will be written, as far as known */
  constructor(order: ByteOrder, expected = 4096) {
    this.order = order;
    this.data = new Uint8Array(expected);
    this.view = new DataView(this.data.buffer);
  }

  byte(value: number): this {
    this.room(1);
    this.data[this.length++] = value & 0xff;
    return this;
  }

  int16(value: number): this {
    this.room(2);
    this.view.setUint16(this.length, value & 0xffff, this.order !== 'SGI');
    this.length += 2;
    return this;
  }

  float32(value: number): this {
    this.room(4);
    if (this.order === 'DEC') this.decFloat(value);
    else this.view.setFloat32(this.length, value, this.order === 'Intel');
    this.length += 4;
    return this;
  }

  /** Text of one byte a character, cut or filled up with spaces to the width. */
  text(value: string, width: number): this {
    for (let i = 0; i < width; i++) this.byte(i < value.length ? value.charCodeAt(i) : 32);
    return this;
  }

  bytes(values: Uint8Array): this {
    this.room(values.length);
    this.data.set(values, this.length);
    this.length += values.length;
    return this;
  }

  /** Zeros up to a length. */
  padTo(length: number): this {
    if (length > this.length) this.room(length - this.length);
    this.length = Math.max(this.length, length);
    return this;
  }

  written(): Uint8Array<ArrayBuffer> {
    return this.data.subarray(0, this.length);
  }

  /** F_floating: the exponent's bias is two more than that of IEEE 754, and the words are exchanged. */
  private decFloat(value: number): void {
    const at = this.length;
    this.view.setFloat32(at, value * 4, false);
    const [high, low] = [this.view.getUint16(at, false), this.view.getUint16(at + 2, false)];
    this.view.setUint16(at, high, true);
    this.view.setUint16(at + 2, low, true);
  }

  private room(more: number): void {
    if (this.length + more <= this.data.length) return;
    const larger = new Uint8Array(Math.max(2 * this.data.length, this.length + more));
    larger.set(this.data.subarray(0, this.length));
    this.data = larger;
    this.view = new DataView(larger.buffer);
  }
}
