import { type FileHandle, open } from 'node:fs/promises';
import { type ByteSource, piecesOf, withFileSource } from './byte-source.ts';
import { recordsOf } from './records.ts';
import { decoderOf, encoded, type TextEncoding, wideEncoding } from './text-of.ts';

/** A record, or a line, so long that it is none: a file without line ends, or with a quote that goes on for ever. */
export class RecordTooLongError extends Error {
  override readonly name = 'RecordTooLongError';
  readonly file: string;

  constructor(file: string) {
    super(
      `recordLists: ${file} has a record of more than 64 million characters. Mend its quotes or line ends.`,
    );
    this.file = file;
  }
}

const MOST_OF_RECORD = 64 * 1024 * 1024;

/** How a file is cut into records: what its bytes stand for, and whether a quote may hold a line end. */
interface Cutting {
  readonly encoding: TextEncoding;
  readonly quotes: boolean;
}

/**
 * The records of a text file in lists, each record with its line end: joined and encoded again they are the file. The file is
 * gone through twice, piece by piece, first for its encoding and whether its quotes come in pairs, as {@link recordsOf} asks.
 *
 * @param lines whether a record is a line, whatever its quotes
 * @throws RecordTooLongError
 */
export async function* recordLists(
  source: ByteSource,
  pieceBytes: number,
  lines = false,
): AsyncGenerator<{ readonly records: readonly string[]; readonly encoding: TextEncoding }> {
  const { encoding, quotes } = await cuttingOf(source, pieceBytes);
  const cut = (text: string): string[] => [...recordsOf(text, quotes && !lines)];
  const decoder = decoderOf(encoding);
  let open = '';
  for await (const piece of piecesOf(source, pieceBytes)) {
    open += decoder.decode(piece, { stream: true });
    const records = cut(open);
    // A carriage return at the end may be half of a line end, and the last record may go on.
    open = records.pop() ?? '';
    if (open.length > MOST_OF_RECORD) throw new RecordTooLongError(source.file ?? 'a file');
    if (records.length > 0) yield { records, encoding };
  }
  const records = cut(open);
  if (records.length > 0) yield { records, encoding };
}

async function cuttingOf(source: ByteSource, pieceBytes: number): Promise<Cutting> {
  const wide = source.size % 2 === 0 ? wideEncoding(await source.read(0, 2)) : null;
  const count = async (encoding: TextEncoding): Promise<Cutting> => {
    const decoder = decoderOf(encoding);
    let quotes = 0;
    for await (const piece of piecesOf(source, pieceBytes))
      quotes += decoder.decode(piece, { stream: true }).split('"').length - 1;
    if (encoding === 'utf-8') decoder.decode(new Uint8Array(0));
    return { encoding, quotes: quotes > 0 && quotes % 2 === 0 };
  };
  if (wide !== null) return count(wide);
  return count('utf-8').catch((error: unknown) => {
    if (error instanceof TypeError) return count('windows-1252');
    throw error;
  });
}

/** What becomes of a record: its text, changed or not; null where it goes. */
export type RecordChange = (record: string, index: number) => string | null;

/**
 * Writes a file anew, record by record.
 *
 * @returns how many records went and how many were changed; the new file is there also where nothing was
 */
export async function rewriteRecords(
  from: string,
  to: string,
  pieceBytes: number,
  change: RecordChange,
  lines = false,
): Promise<{ readonly cut: number; readonly changed: number }> {
  let [index, cut, changed] = [0, 0, 0];
  await withFileSource(from, async (source) => {
    const file: FileHandle = await open(to, 'wx');
    try {
      for await (const { records, encoding } of recordLists(source, pieceBytes, lines)) {
        const kept = records.flatMap((record) => {
          const made = change(record, index);
          index += 1;
          if (made === null) cut += 1;
          else if (made !== record) changed += 1;
          return made === null ? [] : [made];
        });
        await file.writeFile(encoded(kept.join(''), encoding));
      }
    } finally {
      await file.close();
    }
  });
  return { cut, changed };
}
