import { type FileHandle, open } from 'node:fs/promises';

/** Bytes that are read a part at a time, wherever they are, so that they may be more than the memory holds. */
export interface ByteSource {
  readonly size: number;
  /** The file that it is all of, where it is one. */
  readonly file?: string;
  /** The bytes from a place; fewer where they end before. */
  read(at: number, length: number): Promise<Buffer>;
}

export function sourceOfBytes(bytes: Uint8Array): ByteSource {
  const all = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  return { size: all.length, read: async (at, length) => all.subarray(at, at + length) };
}

/** A part of a source as one of its own. */
export function sourceWithin(source: ByteSource, from: number, size: number): ByteSource {
  return { size, read: (at, length) => source.read(from + at, Math.max(0, Math.min(length, size - at))) };
}

/** Opens a file for the time of `work`. */
export async function withFileSource<T>(file: string, work: (source: ByteSource) => Promise<T>): Promise<T> {
  const handle = await open(file, 'r');
  try {
    const { size } = await handle.stat();
    return await work({
      size,
      file,
      read: (at, length) => readAt(handle, at, Math.min(length, Math.max(0, size - at))),
    });
  } finally {
    await handle.close();
  }
}

/** One call reads at most as much as the system gives. */
async function readAt(handle: FileHandle, at: number, length: number): Promise<Buffer> {
  const bytes = Buffer.allocUnsafe(length);
  let filled = 0;
  while (filled < length) {
    const { bytesRead } = await handle.read(bytes, filled, length - filled, at + filled);
    if (bytesRead === 0) break;
    filled += bytesRead;
  }
  return bytes.subarray(0, filled);
}

/** All of a source in pieces of so many bytes. */
export async function* piecesOf(source: ByteSource, pieceBytes: number): AsyncGenerator<Buffer> {
  for (let at = 0; at < source.size; at += pieceBytes) yield await source.read(at, pieceBytes);
}
