import type { FileFault } from '../capture.ts';

export type ByteOrder = 'Intel' | 'DEC' | 'SGI';

/** Raised inside the reader only; `readC3d` hands the fault back as a value. */
export class Refusal extends Error {
  readonly fault: FileFault;
  constructor(fault: FileFault) {
    super(fault.found);
    this.fault = fault;
  }
}

/** Reads numbers of one machine's order out of a file; past the end it refuses with the offset. */
export class ByteReader {
  readonly bytes: Uint8Array;
  readonly order: ByteOrder;
  private readonly view: DataView;

  constructor(bytes: Uint8Array, order: ByteOrder) {
    this.bytes = bytes;
    this.order = order;
    this.view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  }

  private need(offset: number, size: number, what: string): void {
    if (offset >= 0 && offset + size <= this.bytes.length) return;
    throw new Refusal({
      offset: Math.max(0, Math.min(offset, this.bytes.length)),
      found: `the file ends at byte ${this.bytes.length}`,
      expected: `${what} (${size} bytes from byte ${offset})`,
      remedy: 'The file was cut short or is damaged: copy or export it again.',
    });
  }

  unsigned8(offset: number, what: string): number {
    this.need(offset, 1, what);
    return this.bytes[offset]!;
  }

  signed8(offset: number, what: string): number {
    return (this.unsigned8(offset, what) << 24) >> 24;
  }

  unsigned16(offset: number, what: string): number {
    this.need(offset, 2, what);
    return this.view.getUint16(offset, this.order !== 'SGI');
  }

  signed16(offset: number, what: string): number {
    return (this.unsigned16(offset, what) << 16) >> 16;
  }

  float32(offset: number, what: string): number {
    this.need(offset, 4, what);
    if (this.order !== 'DEC') return this.view.getFloat32(offset, this.order === 'Intel');
    return decFloat(this.view.getUint16(offset, true), this.view.getUint16(offset + 2, true));
  }

  text(offset: number, length: number, what: string): string {
    this.need(offset, length, what);
    let out = '';
    for (let i = 0; i < length; i++) out += String.fromCharCode(this.bytes[offset + i]!);
    return out;
  }
}

/**
 * A DEC F_floating number from its two 16-bit words, the first of which holds sign, exponent (excess 128) and
 * the high part of the fraction: (-1)^s (0.5 + f / 2^24) 2^(e - 128). Exponent 0 is zero, or NaN when the
 * sign is set (the machine's reserved operand).
 *
 * @see Digital Equipment Corporation (1981) VAX Architecture Handbook, data types
 * @example decFloat(0x4080, 0) // 1
 */
export function decFloat(first: number, second: number): number {
  const exponent = (first >> 7) & 0xff;
  if (exponent === 0) return first & 0x8000 ? Number.NaN : 0;
  const fraction = ((first & 0x7f) << 16) | second;
  const size = (1 + fraction / 0x800000) * 2 ** (exponent - 129);
  return first & 0x8000 ? -size : size;
}

/** Text of a file's fixed-width field without its padding. */
export function trimField(text: string): string {
  const end = text.indexOf('\0');
  return (end >= 0 ? text.slice(0, end) : text).trim();
}
