import { SaxesParser, type SaxesTagNS } from 'saxes';
import { Unreadable } from './import-problem.ts';

const DEEPEST = 64;
const CHUNK = 1 << 16;

export interface XmlHandlers {
  open?(name: string, attribute: (name: string) => string | undefined): void;
  text?(text: string): void;
  close?(name: string): void;
}

/**
 * Goes through a part of a spreadsheet as XML 1.0. Names come without their prefixes. A document type is refused, so
 * no entity beyond the five of XML can be defined; so are damaged XML and nesting deeper than 64.
 *
 * @throws Unreadable
 */
export function readXml(part: string, bytes: Uint8Array, handlers: XmlHandlers): void {
  const damaged = (why: string) =>
    new Unreadable(
      `damaged XML in ${part} (${why})`,
      'a whole .xlsx file',
      'Open it in the spreadsheet and save it again.',
    );
  const parser = new SaxesParser({ xmlns: true });
  let depth = 0;
  parser.on('doctype', () => {
    throw new Unreadable(
      `a document type in ${part}, by which a file can reach for others`,
      'a spreadsheet as a spreadsheet program saves it',
      'Do not use this file; ask whoever sent it for another.',
    );
  });
  parser.on('error', (error) => {
    throw damaged(error.message.split('\n')[0]!.slice(0, 100));
  });
  parser.on('opentag', (tag: SaxesTagNS) => {
    depth += 1;
    if (depth > DEEPEST) throw damaged(`more than ${DEEPEST} levels`);
    handlers.open?.(tag.local, (name) => {
      for (const attribute of Object.values(tag.attributes))
        if (attribute.local === name) return attribute.value;
      return undefined;
    });
  });
  parser.on('closetag', (tag: SaxesTagNS) => {
    depth -= 1;
    handlers.close?.(tag.local);
  });
  if (handlers.text !== undefined) {
    parser.on('text', handlers.text);
    parser.on('cdata', handlers.text);
  }
  const utf16 = bytes[0] === 0xff && bytes[1] === 0xfe ? 'utf-16le' : bytes[0] === 0xfe ? 'utf-16be' : null;
  const decoder = new TextDecoder(utf16 ?? 'utf-8', { fatal: true });
  for (let at = 0; at < bytes.byteLength || at === 0; at += CHUNK) {
    const chunk = bytes.subarray(at, at + CHUNK);
    let text: string;
    try {
      text = decoder.decode(chunk, { stream: at + CHUNK < bytes.byteLength });
    } catch {
      throw damaged('bytes that are no text');
    }
    parser.write(text);
  }
  parser.close();
}
