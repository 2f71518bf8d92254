import { gunzipSync } from 'node:zlib';
import { c3dTextBytes } from './c3d-texts.ts';
import { parquetTexts } from './parquet-texts.ts';
import { MOST_UNPACKED_BYTES, zipEntries } from './zip-entries.ts';

/** What a file holds once it is unpacked. */
export interface Inside {
  /** Bytes to be searched. */
  readonly parts: readonly Uint8Array[];
  /** Whether something in it could not be looked into: a password, a format that is not known here. */
  readonly closed: boolean;
}

const DEEPEST = 4;
const NOTHING_SEEN: Inside = { parts: [], closed: true };

/** Beginnings of formats that pack or encode their texts in a way that is not undone here. */
const CLOSED: readonly (readonly [number, readonly number[]])[] = [
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
 * The bytes of a file in which a text can be found: of a zip file (a spreadsheet is one) its parts and their names, of a
 * gzip file what it holds, of a Parquet file the texts of its columns and its footer, of a C3D file its header and
 * parameters (its frames are numbers, in which three letters stand by chance); of any other file every byte.
 */
export async function lookInside(bytes: Uint8Array, depth = 0): Promise<Inside> {
  if (depth > DEEPEST) return NOTHING_SEEN;
  const starts = (...magic: readonly number[]): boolean =>
    magic.every((byte, index) => bytes[index] === byte);
  if (starts(0x50, 0x4b, 3, 4) || starts(0x50, 0x4b, 5, 6)) {
    const entries = zipEntries(bytes);
    if (entries === null) return { parts: [bytes], closed: true };
    const parts: Uint8Array[] = [];
    let closed = false;
    for (const { name, content } of entries) {
      parts.push(Buffer.from(name, 'utf8'));
      const inner = content === null ? NOTHING_SEEN : await lookInside(content, depth + 1);
      parts.push(...inner.parts);
      closed ||= inner.closed;
    }
    return { parts, closed };
  }
  if (starts(0x1f, 0x8b)) {
    try {
      const inner = await lookInside(gunzipSync(bytes, { maxOutputLength: MOST_UNPACKED_BYTES }), depth + 1);
      // The header may name the file it was made from.
      return { parts: [bytes.subarray(0, 512), ...inner.parts], closed: inner.closed };
    } catch {
      return { parts: [bytes], closed: true };
    }
  }
  if (starts(0x50, 0x41, 0x52, 0x31)) {
    const texts = await parquetTexts(bytes);
    return texts === null ? { parts: [bytes], closed: true } : { parts: texts, closed: false };
  }
  const texts = c3dTextBytes(bytes);
  if (texts !== null) return { parts: [texts], closed: false };
  const closed = CLOSED.some(([at, magic]) => magic.every((byte, index) => bytes[at + index] === byte));
  return { parts: [bytes], closed };
}
