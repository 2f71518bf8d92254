import { fromWindows1252, toWindows1252 } from '../read/windows-1252.ts';

/** A text, and how to make bytes of it again: the same ones where nothing was changed. */
export interface DecodedText {
  readonly text: string;
  encode(text: string): Uint8Array;
}

export type TextEncoding = 'utf-8' | 'utf-16le' | 'utf-16be' | 'windows-1252';

/** Bytes as text in UTF-8, in UTF-16 where a byte-order mark says so, else in Windows-1252; a byte-order mark stays in it. */
export function textOf(bytes: Uint8Array): DecodedText {
  const wide = bytes.length % 2 === 0 ? wideEncoding(bytes) : null;
  if (wide !== null) return { text: decoderOf(wide).decode(bytes), encode: (text) => encoded(text, wide) };
  try {
    return { text: decoderOf('utf-8').decode(bytes), encode: (text) => encoded(text, 'utf-8') };
  } catch {
    return { text: fromWindows1252(bytes), encode: (text) => encoded(text, 'windows-1252') };
  }
}

/** UTF-16 of either byte order where bytes begin with its mark. */
export function wideEncoding(bytes: Uint8Array): TextEncoding | null {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return 'utf-16le';
  return bytes[0] === 0xfe && bytes[1] === 0xff ? 'utf-16be' : null;
}

/** Decodes a text piece by piece; a byte-order mark stays. */
export interface TextPieces {
  /** @throws TypeError on bytes that are no such text */
  decode(bytes: Uint8Array, options?: { readonly stream?: boolean }): string;
}

export function decoderOf(encoding: TextEncoding): TextPieces {
  if (encoding === 'utf-8') return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true });
  if (encoding === 'windows-1252') return { decode: fromWindows1252 };
  // Not TextDecoder: half a pair of UTF-16 is no text, and must come back as it was all the same.
  let odd = Buffer.alloc(0);
  return {
    decode: (bytes) => {
      const all = Buffer.concat([odd, bytes]);
      const even = all.length - (all.length % 2);
      odd = all.subarray(even);
      const whole = all.subarray(0, even);
      return (encoding === 'utf-16le' ? whole : whole.swap16()).toString('utf16le');
    },
  };
}

/** A text as bytes. @throws Error for a character that Windows-1252 does not have */
export function encoded(text: string, encoding: TextEncoding): Buffer {
  if (encoding === 'utf-8') return Buffer.from(text, 'utf8');
  if (encoding === 'windows-1252') {
    const bytes = toWindows1252(text);
    if (bytes === null) throw new Error('encoded: the text has a character that Windows-1252 does not have.');
    return bytes;
  }
  const bytes = Buffer.from(text, 'utf16le');
  return encoding === 'utf-16le' ? bytes : bytes.swap16();
}
