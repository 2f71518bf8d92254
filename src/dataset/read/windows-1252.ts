/** What the bytes 0x80 to 0x9F stand for in Windows-1252, as the Encoding Standard of the web has it (index windows-1252). */
const UPPER = '€\x81‚ƒ„…†‡ˆ‰Š‹Œ\x8dŽ\x8f\x90‘’“”•–—˜™š›œ\x9džŸ';

/** Bytes as text in Windows-1252, of which Latin-1 (ISO 8859-1) is all but 27 characters; no byte is without a character. */
export function fromWindows1252(bytes: Uint8Array): string {
  return Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength)
    .toString('latin1')
    .replace(/[\u0080-\u009f]/g, (character) => UPPER[character.charCodeAt(0) - 0x80]!);
}

/**
 * A text as bytes in Windows-1252, which undoes {@link fromWindows1252}; null where it has no byte for a character. A control
 * character from U+0080 to U+009F is the byte of its number: so it is decoded where a program takes the text for Latin-1, as the
 * TextDecoder of Node 20 does.
 */
export function toWindows1252(text: string): Buffer | null {
  const codes: number[] = [];
  for (let at = 0; at < text.length; at += 1) {
    const code = text.charCodeAt(at);
    const upper = UPPER.indexOf(text[at]!);
    if (upper >= 0) codes.push(0x80 + upper);
    else if (code < 0x100) codes.push(code);
    else return null;
  }
  return Buffer.from(codes);
}
