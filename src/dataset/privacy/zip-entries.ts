import { Readable } from 'node:stream';
import { createInflateRaw } from 'node:zlib';
import { type ByteSource, piecesOf, sourceWithin } from './byte-source.ts';

/** A part of a zip file. */
export interface ZipEntry {
  /** Name, extra field and comment: all three are texts that somebody may have written into. */
  readonly listed: Buffer;
  readonly name: string;
  /** The part as it lies there; null where that cannot be had. */
  readonly stored: ByteSource | null;
  /** Whether it is packed by deflate; otherwise it lies there as it is. */
  readonly isDeflated: boolean;
}

/** What a zip file lists. */
export interface ZipList {
  readonly entries: readonly ZipEntry[];
  /** Whether the list has as many parts as the file says it has. */
  readonly isWhole: boolean;
  /** The note at the end of the file. */
  readonly note: Buffer;
}

const LIST_LIMIT = 512 * 1024 * 1024;

/**
 * Every part of a zip file (PKWARE APPNOTE 6.3.10, zip64 among it), also of a damaged one as far as its list goes; null
 * where there is no list of parts at all. A part that has a password or a method other than stored and deflated has no
 * content.
 */
export async function zipEntries(source: ByteSource): Promise<ZipList | null> {
  const end = await endRecord(source);
  if (end === null || end.length > LIST_LIMIT) return null;
  const list = await source.read(end.at, end.length);
  const entries: ZipEntry[] = [];
  for (let at = 0; at + 46 <= list.length && list.readUInt32LE(at) === 0x02014b50; ) {
    const [nameLength, extraLength, noteLength] = [28, 30, 32].map((place) =>
      list.readUInt16LE(at + place),
    ) as [number, number, number];
    const listed = list.subarray(at + 46, at + 46 + nameLength + extraLength + noteLength);
    const method = list.readUInt16LE(at + 10);
    const isLocked = (list.readUInt16LE(at + 8) & 1) !== 0;
    const sizes = largeSizes(list, at, listed.subarray(nameLength, nameLength + extraLength));
    entries.push({
      listed,
      name: listed.subarray(0, nameLength).toString('utf8'),
      isDeflated: method === 8,
      stored: isLocked || (method !== 0 && method !== 8) ? null : await storedAt(source, sizes),
    });
    at += 46 + listed.length;
  }
  return { entries, isWhole: entries.length === end.count, note: end.note };
}

/** A part's bytes, unpacked, in pieces. @throws Error where they are damaged */
export function unpackedPieces({ stored, isDeflated }: ZipEntry, pieceBytes: number): AsyncIterable<Buffer> {
  if (stored === null) throw new Error('unpackedPieces: the part cannot be unpacked.');
  const pieces = piecesOf(stored, pieceBytes);
  return isDeflated ? Readable.from(pieces).compose(createInflateRaw()) : pieces;
}

interface EndRecord {
  readonly at: number;
  readonly length: number;
  readonly count: number;
  readonly note: Buffer;
}

async function endRecord(source: ByteSource): Promise<EndRecord | null> {
  const from = Math.max(0, source.size - 22 - 0xffff);
  const tail = await source.read(from, source.size - from);
  for (let at = tail.length - 22; at >= 0; at -= 1) {
    if (tail.readUInt32LE(at) !== 0x06054b50) continue;
    const note = tail.subarray(at + 22);
    const small = {
      count: tail.readUInt16LE(at + 10),
      length: tail.readUInt32LE(at + 12),
      at: tail.readUInt32LE(at + 16),
      note,
    };
    const isLarge = at >= 20 && tail.readUInt32LE(at - 20) === 0x07064b50;
    if (!isLarge) return small;
    const large = await source.read(Number(tail.readBigUInt64LE(at - 12)), 56);
    if (large.length < 56 || large.readUInt32LE(0) !== 0x06064b50) return small;
    return {
      count: Number(large.readBigUInt64LE(32)),
      length: Number(large.readBigUInt64LE(40)),
      at: Number(large.readBigUInt64LE(48)),
      note,
    };
  }
  return null;
}

/** Packed size and place of a part: in an extra field of their own where they need more than 32 bits. */
function largeSizes(
  list: Buffer,
  at: number,
  extra: Buffer,
): { readonly packed: number; readonly local: number } {
  let [packed, local] = [list.readUInt32LE(at + 20), list.readUInt32LE(at + 42)];
  for (let field = 0; field + 4 <= extra.length; field += 4 + extra.readUInt16LE(field + 2)) {
    if (extra.readUInt16LE(field) !== 1) continue;
    let place = field + 4;
    const next = (): number => {
      place += 8;
      return place <= extra.length ? Number(extra.readBigUInt64LE(place - 8)) : Number.NaN;
    };
    if (list.readUInt32LE(at + 24) === 0xffffffff) next();
    if (packed === 0xffffffff) packed = next();
    if (local === 0xffffffff) local = next();
    break;
  }
  return { packed, local };
}

async function storedAt(
  source: ByteSource,
  { packed, local }: { readonly packed: number; readonly local: number },
): Promise<ByteSource | null> {
  const head = await source.read(local, 30);
  if (head.length < 30 || head.readUInt32LE(0) !== 0x04034b50) return null;
  const start = local + 30 + head.readUInt16LE(26) + head.readUInt16LE(28);
  return start + packed > source.size ? null : sourceWithin(source, start, packed);
}
