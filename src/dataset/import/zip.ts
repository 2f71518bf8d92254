import { crc32, inflateRawSync } from 'node:zlib';
import { Unreadable } from './import-problem.ts';

const MOST_ENTRIES = 5_000;
/** The most that all parts that are asked for may come to, so that a small file cannot fill the memory. */
const MOST_BYTES = 512 * 1024 * 1024;

const SAVE = 'Open it in the spreadsheet and save it again as .xlsx, or as CSV.';
const damaged = (found: string) => new Unreadable(found, 'a whole .xlsx file', SAVE);

interface Entry {
  readonly method: number;
  readonly flags: number;
  readonly crc: number;
  readonly packed: number;
  readonly size: number;
  readonly at: number;
}

/**
 * The parts of a zip file (PKWARE APPNOTE 6.3.10), read from its central directory and unpacked one at a time, in memory:
 * nothing is ever written under a name from the file. Refused are zip64, encryption, several disks, methods other
 * than stored and deflated, two entries of one name, names that lead out of the file, and more than 512 MiB in all.
 *
 * @returns what gives a part by name, or null where there is none
 * @throws Unreadable
 */
export function openZip(bytes: Uint8Array): (name: string) => Uint8Array | null {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  const entries = directory(bytes, view);
  let left = MOST_BYTES;
  return (name) => {
    const entry = entries.get(name);
    if (entry === undefined) return null;
    const part = unpack(bytes, view, entry, left);
    left -= part.byteLength;
    return part;
  };
}

function directory(bytes: Uint8Array, view: DataView): ReadonlyMap<string, Entry> {
  const end = endOfDirectory(view);
  const count = view.getUint16(end + 10, true);
  let at = view.getUint32(end + 16, true);
  if (count === 0xffff || at === 0xffffffff)
    throw new Unreadable('a zip file in the large format (zip64)', 'a spreadsheet below 4 GB', SAVE);
  if (count > MOST_ENTRIES) throw damaged(`a zip file with ${count} parts`);
  const entries = new Map<string, Entry>();
  for (let index = 0; index < count; index += 1) {
    if (at + 46 > bytes.byteLength || view.getUint32(at, true) !== 0x02014b50)
      throw damaged('a zip file whose list of parts is cut off or damaged');
    const length = view.getUint16(at + 28, true);
    const name = new TextDecoder().decode(bytes.subarray(at + 46, at + 46 + length));
    if (name.startsWith('/') || /[\\\0]|^[A-Za-z]:/.test(name) || name.split('/').includes('..'))
      throw new Unreadable(
        `a part named '${name.slice(0, 80)}', which leads out of the file`,
        'a spreadsheet as a spreadsheet program saves it',
        'Do not use this file; ask whoever sent it for another.',
      );
    if (entries.has(name)) throw damaged(`the part '${name.slice(0, 80)}' twice`);
    entries.set(name, {
      flags: view.getUint16(at + 8, true),
      method: view.getUint16(at + 10, true),
      crc: view.getUint32(at + 16, true),
      packed: view.getUint32(at + 20, true),
      size: view.getUint32(at + 24, true),
      at: view.getUint32(at + 42, true),
    });
    at += 46 + length + view.getUint16(at + 30, true) + view.getUint16(at + 32, true);
  }
  return entries;
}

/** The record at the end is found from behind: a comment of up to 65535 bytes may follow it. */
function endOfDirectory(view: DataView): number {
  const last = view.byteLength - 22;
  for (let at = last; at >= Math.max(0, last - 0xffff); at -= 1)
    if (view.getUint32(at, true) === 0x06054b50) {
      if (view.getUint16(at + 4, true) !== 0) throw damaged('one of several parts of a zip file');
      return at;
    }
  throw damaged('a zip file that is cut off');
}

function unpack(bytes: Uint8Array, view: DataView, entry: Entry, left: number): Uint8Array {
  if ((entry.flags & 1) !== 0)
    throw new Unreadable('a part with a password', 'a file without one', 'Save it without a password.');
  if (entry.at + 30 > bytes.byteLength || view.getUint32(entry.at, true) !== 0x04034b50)
    throw damaged('a zip file with a part that is not where it should be');
  const start = entry.at + 30 + view.getUint16(entry.at + 26, true) + view.getUint16(entry.at + 28, true);
  if (start + entry.packed > bytes.byteLength) throw damaged('a zip file that is cut off');
  const packed = bytes.subarray(start, start + entry.packed);
  const part = entry.method === 0 ? packed : inflated(packed, entry, left);
  if (part.byteLength > left) throw bomb();
  if (part.byteLength !== entry.size || crc32(part) !== entry.crc)
    throw damaged('a part that is not what its checksum says');
  return part;
}

function inflated(packed: Uint8Array, entry: Entry, left: number): Uint8Array {
  if (entry.method !== 8)
    throw damaged(`a part packed in a way (${entry.method}) that spreadsheets do not use`);
  // What the file says of its own size is not believed; what is unpacked is counted.
  if (entry.size > left) throw bomb();
  try {
    return inflateRawSync(packed, {
      maxOutputLength: Math.max(1, Math.min(left, entry.size)),
      // Into one piece of memory, where several would be copied into one at the end, and be there twice.
      chunkSize: entry.size + 64,
    });
  } catch (error) {
    if (error instanceof RangeError) throw bomb();
    throw damaged('a part that cannot be unpacked');
  }
}

function bomb(): Unreadable {
  return new Unreadable(
    'parts that unpack to more than they say, or to more than 512 MiB',
    'a spreadsheet of at most 512 MiB once unpacked',
    'If it is a spreadsheet of yours, save the sheet as CSV; if it was sent to you, do not open it.',
  );
}
