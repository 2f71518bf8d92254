import { Readable } from 'node:stream';
import { createGunzip } from 'node:zlib';
import type { ByteFinder } from './byte-finder.ts';
import { type ByteSource, piecesOf, sourceOfBytes } from './byte-source.ts';
import { c3dTextBytes } from './c3d-texts.ts';
import { isInParquet } from './parquet-texts.ts';
import { textOf } from './text-of.ts';
import { withoutMarkup } from './without-markup.ts';
import { unpackedPieces, zipEntries } from './zip-entries.ts';

/** What was seen of a file once it was unpacked. */
export interface Seen {
  readonly found: boolean;
  /** Whether something in it could not be looked into: a password, damage, a format that is not known here. */
  readonly closed: boolean;
}

/** How much is held in memory at a time; tests make it small. */
export interface Sizes {
  readonly pieceBytes: number;
  /** What is unpacked and is no more than this is looked into further: a zip file in a zip file. */
  readonly mostHeldBytes: number;
}

export const SIZES: Sizes = { pieceBytes: 1024 * 1024, mostHeldBytes: 256 * 1024 * 1024 };

const DEEPEST = 4;
const CLOSED: Seen = { found: false, closed: true };
const starts = (bytes: Uint8Array, ...magic: readonly number[]): boolean =>
  magic.every((byte, index) => bytes[index] === byte);
const isZip = (head: Uint8Array): boolean => starts(head, 0x50, 0x4b, 3, 4) || starts(head, 0x50, 0x4b, 5, 6);
const isGzip = (head: Uint8Array): boolean => starts(head, 0x1f, 0x8b);
const isParquetFile = (head: Uint8Array): boolean => starts(head, 0x50, 0x41, 0x52, 0x31);

/** Beginnings of formats that pack or encode their texts in a way that is not undone here. */
const SEALED: readonly (readonly [number, readonly number[]])[] = [
  [0, [0x25, 0x50, 0x44, 0x46]], // PDF
  [0, [0x89, 0x50, 0x4e, 0x47]], // PNG
  [0, [0xff, 0xd8, 0xff]], // JPEG
  [0, [0x37, 0x7a, 0xbc, 0xaf]], // 7z
  [0, [0x52, 0x61, 0x72, 0x21]], // RAR
  [0, [0x42, 0x5a, 0x68]], // bzip2
  [0, [0xfd, 0x37, 0x7a, 0x58]], // xz
  [0, [0x28, 0xb5, 0x2f, 0xfd]], // zstd
  [8, [0x44, 0x55, 0x43, 0x4b]], // a DuckDB database
  [4, [0x66, 0x74, 0x79, 0x70]], // MP4 and QuickTime
  [0, [0xd0, 0xcf, 0x11, 0xe0]], // documents of office programs before 2007, and locked ones
];

/**
 * Looks for words in a file: in a zip file (a spreadsheet is one) in its parts, their names and notes, in a gzip file in
 * what it holds, in a Parquet file in the texts of its columns and its footer, in a C3D file in its header and parameters
 * (its frames are numbers, in which three letters stand by chance), in XML and HTML also in what is left without tags; in any
 * other file in every byte. It is read piece by piece, so that it may be larger than the memory.
 */
export async function lookInside(
  source: ByteSource,
  finder: ByteFinder,
  sizes: Sizes = SIZES,
  depth = 0,
): Promise<Seen> {
  if (depth > DEEPEST) return CLOSED;
  const head = await source.read(0, 64);
  if (isZip(head)) return inZip(source, finder, sizes, depth);
  if (isGzip(head)) {
    // The header may name the file it was made from.
    const inHeader = finder.isIn(await source.read(0, 512));
    const pieces = Readable.from(piecesOf(source, sizes.pieceBytes)).compose(createGunzip());
    const inside = await inUnpacked(pieces, finder, sizes, depth);
    return either({ found: inHeader, closed: false }, inside);
  }
  if (isParquetFile(head)) {
    const found = await isInParquet(source, finder);
    return found === null
      ? { ...(await inBytes(source, finder, sizes)), closed: true }
      : { found, closed: false };
  }
  const texts = await c3dTextBytes(source);
  if (texts !== null) return { found: finder.isIn(texts), closed: false };
  const closed = SEALED.some(([at, magic]) => starts(head.subarray(at), ...magic));
  const seen = { ...(await inBytes(source, finder, sizes)), closed };
  return seen.found ? seen : either(seen, await inMarkup(source, head, finder, sizes));
}

function either(a: Seen, b: Seen): Seen {
  return { found: a.found || b.found, closed: a.closed || b.closed };
}

async function inBytes(source: ByteSource, finder: ByteFinder, { pieceBytes }: Sizes): Promise<Seen> {
  return { found: await finder.isInPieces(piecesOf(source, pieceBytes)), closed: false };
}

async function inMarkup(source: ByteSource, head: Buffer, finder: ByteFinder, sizes: Sizes): Promise<Seen> {
  const isMarkup = /^(?:\uFEFF|\xEF\xBB\xBF)?\s*</.test(textOf(head.subarray(0, head.length & ~1)).text);
  if (!isMarkup || source.size > sizes.mostHeldBytes) return { found: false, closed: isMarkup };
  const { text } = textOf(await source.read(0, source.size));
  return { found: finder.isIn(Buffer.from(withoutMarkup(text), 'utf8')), closed: false };
}

async function inZip(source: ByteSource, finder: ByteFinder, sizes: Sizes, depth: number): Promise<Seen> {
  const list = await zipEntries(source);
  if (list === null) return { ...(await inBytes(source, finder, sizes)), closed: true };
  let seen: Seen = { found: finder.isIn(list.note), closed: !list.isWhole };
  for (const entry of list.entries) {
    if (finder.isIn(entry.listed)) seen = { ...seen, found: true };
    if (entry.stored?.size === 0) continue;
    seen = either(
      seen,
      entry.stored === null
        ? CLOSED
        : await inUnpacked(unpackedPieces(entry, sizes.pieceBytes), finder, sizes, depth),
    );
  }
  return seen;
}

/** What is unpacked is held and looked into as a file is; where it is more than is held, its bytes are searched as they come. */
async function inUnpacked(
  pieces: AsyncIterable<Uint8Array>,
  finder: ByteFinder,
  sizes: Sizes,
  depth: number,
): Promise<Seen> {
  const held: Uint8Array[] = [];
  let bytes = 0;
  const coming = pieces[Symbol.asyncIterator]();
  try {
    for (;;) {
      const { value, done } = await coming.next();
      if (done === true)
        return await lookInside(sourceOfBytes(Buffer.concat(held)), finder, sizes, depth + 1);
      held.push(value);
      bytes += value.length;
      if (bytes <= sizes.mostHeldBytes) continue;
      const head = Buffer.concat(held).subarray(0, 64);
      const isPlain = !isZip(head) && !isGzip(head) && !isParquetFile(head);
      return { found: await finder.isInPieces(rest()), closed: !isPlain };
    }
  } catch {
    // Damaged, or no such thing: what came so far was text all the same.
    return { found: finder.isIn(Buffer.concat(held)), closed: true };
  }

  async function* rest(): AsyncGenerator<Uint8Array> {
    yield Buffer.concat(held);
    for (;;) {
      const { value, done } = await coming.next();
      if (done === true) return;
      yield value;
    }
  }
}
