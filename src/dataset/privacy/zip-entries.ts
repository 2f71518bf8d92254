import { inflateRawSync } from 'node:zlib';

/** A part of a zip file; `content` is null where it cannot be unpacked (a password, an unknown method, damage, too large). */
export interface ZipEntry {
  readonly name: string;
  readonly content: Uint8Array | null;
}

/** More than this is not unpacked, so that a small file cannot fill the memory. */
export const MOST_UNPACKED_BYTES = 256 * 1024 * 1024;

/**
 * Every part of a zip file (PKWARE APPNOTE 6.3.10), in memory, also of a damaged one as far as its list goes; null where
 * there is no list of parts at all.
 */
export function zipEntries(bytes: Uint8Array): readonly ZipEntry[] | null {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const end = endRecord(view);
  if (end === null) return null;
  const entries: ZipEntry[] = [];
  let at = view.getUint32(end + 16, true);
  let left = MOST_UNPACKED_BYTES;
  while (at + 46 <= bytes.length && view.getUint32(at, true) === 0x02014b50) {
    const [nameLength, extra, comment] = [28, 30, 32].map((place) => view.getUint16(at + place, true));
    const listed = bytes.subarray(at + 46, at + 46 + nameLength! + extra! + comment!);
    const content = unpacked(bytes, view, at, left);
    if (content !== null) left -= content.length;
    // Name, extra field and comment: all three are texts that somebody may have written into.
    entries.push({ name: new TextDecoder().decode(listed), content });
    at += 46 + listed.length;
  }
  return entries;
}

function endRecord(view: DataView): number | null {
  for (let at = view.byteLength - 22; at >= Math.max(0, view.byteLength - 22 - 0xffff); at -= 1)
    if (view.getUint32(at, true) === 0x06054b50) return at;
  return null;
}

function unpacked(bytes: Uint8Array, view: DataView, at: number, left: number): Uint8Array | null {
  const method = view.getUint16(at + 10, true);
  const packedSize = view.getUint32(at + 20, true);
  const local = view.getUint32(at + 42, true);
  const locked = (view.getUint16(at + 8, true) & 1) !== 0;
  if (locked || (method !== 0 && method !== 8)) return null;
  if (local + 30 > bytes.length || view.getUint32(local, true) !== 0x04034b50) return null;
  const start = local + 30 + view.getUint16(local + 26, true) + view.getUint16(local + 28, true);
  if (start + packedSize > bytes.length) return null;
  const packed = bytes.subarray(start, start + packedSize);
  if (method === 0) return packed.length <= left ? packed : null;
  try {
    return inflateRawSync(packed, { maxOutputLength: Math.max(1, left) });
  } catch {
    return null;
  }
}
