import { fromWindows1252 } from '../read/windows-1252.ts';
import { type ImportProblem, Unreadable } from './import-problem.ts';
import { readXlsx } from './read-xlsx.ts';
import type { SheetFile, TextReading } from './sheet.ts';

const MOST_BYTES = 512 * 1024 * 1024;

/**
 * What a file holds, told from its bytes and not from its name: a workbook, or text. Text is UTF-8, UTF-16 with its
 * mark, or, where it is not valid UTF-8, Windows-1252; which of them it was is said.
 *
 * @param name the file's name, for the words of a problem
 * @example
 * const opened = openFile(new TextEncoder().encode('a,b\n1,2\n'), 'lessons.csv');
 * opened.ok && opened.file.kind // 'csv'
 */
export function openFile(
  bytes: Uint8Array,
  name: string,
): { readonly ok: true; readonly file: SheetFile } | { readonly ok: false; readonly problem: ImportProblem } {
  try {
    const foreign = otherFormat(bytes);
    if (foreign !== null) throw foreign;
    if (bytes[0] === 0x50 && bytes[1] === 0x4b)
      return { ok: true, file: { kind: 'xlsx', sheets: readXlsx(bytes) } };
    return { ok: true, file: { kind: 'csv', ...decoded(bytes) } };
  } catch (error) {
    if (!(error instanceof Unreadable)) throw error;
    return { ok: false, problem: { where: name, ...error.problem } };
  }
}

const WANTED = 'a CSV file or an .xlsx spreadsheet';
const SAVE = 'Open it in the spreadsheet and save it as .xlsx, or as CSV.';

function otherFormat(bytes: Uint8Array): Unreadable | null {
  if (bytes.byteLength === 0) return new Unreadable('an empty file', WANTED, 'Save the spreadsheet again.');
  if (bytes.byteLength > MOST_BYTES)
    return new Unreadable('a file of more than 512 MiB', WANTED, 'Cut it into several files.');
  const start = new TextDecoder('latin1')
    .decode(bytes.subarray(0, 512))
    .replace(/^\u00EF\u00BB\u00BF/, '')
    .trimStart();
  if (start.startsWith('\u00D0\u00CF\u0011\u00E0'))
    return new Unreadable('a spreadsheet in the format before 2007, or one with a password', WANTED, SAVE);
  if (start.startsWith('%PDF'))
    return new Unreadable('a PDF', WANTED, 'Ask for the spreadsheet it was made from.');
  if (start.startsWith('\u001F\u008B'))
    return new Unreadable('a packed file (gzip)', WANTED, 'Unpack it first.');
  if (/^<(?:!doctype html|html|table|meta|head)/i.test(start))
    return new Unreadable('a web page with the name of a spreadsheet', WANTED, SAVE);
  if (/^<\?xml|^<workbook/i.test(start)) return new Unreadable('XML', WANTED, SAVE);
  if (/^[{[]\s*["{[]/.test(start)) return new Unreadable('JSON', WANTED, 'Give the spreadsheet itself.');
  return null;
}

function decoded(bytes: Uint8Array): { readonly text: string; readonly reading: TextReading } {
  const mark = [...bytes.subarray(0, 3)];
  if (mark[0] === 0xff && mark[1] === 0xfe) return marked(bytes, 'utf-16le');
  if (mark[0] === 0xfe && mark[1] === 0xff) return marked(bytes, 'utf-16be');
  if (bytes.includes(0))
    throw new Unreadable(
      'a NUL byte: text in UTF-16 without its mark, or no text at all',
      'text in UTF-8',
      'Save it again as CSV UTF-8.',
    );
  if (mark[0] === 0xef && mark[1] === 0xbb && mark[2] === 0xbf) return marked(bytes, 'utf-8');
  try {
    const text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
    return { text, reading: { encoding: 'utf-8', byteOrderMark: false } };
  } catch {
    return { text: fromWindows1252(bytes), reading: { encoding: 'windows-1252', byteOrderMark: false } };
  }
}

function marked(bytes: Uint8Array, encoding: 'utf-8' | 'utf-16le' | 'utf-16be') {
  try {
    const text = new TextDecoder(encoding, { fatal: true }).decode(bytes);
    if (text.includes('\0')) throw new Error();
    return { text, reading: { encoding, byteOrderMark: true } };
  } catch {
    throw new Unreadable(
      `text that begins as ${encoding.toUpperCase()} and is not`,
      `text in ${encoding.toUpperCase()} throughout`,
      'Save it again as CSV UTF-8.',
    );
  }
}
