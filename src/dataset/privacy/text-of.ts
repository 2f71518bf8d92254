/** A text, and how to make bytes of it again: the same ones where nothing was changed. */
export interface DecodedText {
  readonly text: string;
  encode(text: string): Uint8Array;
}

/** Bytes as text in UTF-8, in UTF-16 where a byte-order mark says so, else byte for byte; a byte-order mark stays in it. */
export function textOf(bytes: Uint8Array): DecodedText {
  const given = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength);
  if (bytes[0] === 0xff && bytes[1] === 0xfe && bytes.length % 2 === 0)
    return { text: given.toString('utf16le'), encode: (text) => Buffer.from(text, 'utf16le') };
  if (bytes[0] === 0xfe && bytes[1] === 0xff && bytes.length % 2 === 0)
    return {
      text: Buffer.from(given).swap16().toString('utf16le'),
      encode: (text) => Buffer.from(text, 'utf16le').swap16(),
    };
  try {
    const text = new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(bytes);
    return { text, encode: (changed) => Buffer.from(changed, 'utf8') };
  } catch {
    return { text: given.toString('latin1'), encode: (text) => Buffer.from(text, 'latin1') };
  }
}
