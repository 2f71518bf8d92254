import Papa from 'papaparse';
import type { Problem } from '../problem.ts';

type Fault = Pick<Problem, 'kind' | 'found' | 'expected' | 'remedy'> & { readonly row: number | null };

const SAVE = 'In the spreadsheet choose "save as", CSV, UTF-8 with commas.';

/** The text of a CSV file, or why it has none. A byte-order mark is put aside. */
export function csvText(bytes: Uint8Array): { readonly text: string } | { readonly fault: Fault } {
  const fault = (found: string, remedy: string) => ({
    fault: { kind: 'unreadable-file' as const, row: null, found, expected: 'a CSV file in UTF-8', remedy },
  });
  if (bytes[0] === 0x50 && bytes[1] === 0x4b)
    return fault('a spreadsheet or zip file with the name of a CSV file', SAVE);
  if ((bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff))
    return fault('text in UTF-16', SAVE);
  if (bytes.includes(0)) return fault('a NUL byte: this is no text', SAVE);
  try {
    return { text: new TextDecoder('utf-8', { fatal: true }).decode(bytes) };
  } catch {
    return fault('text that is not in UTF-8', SAVE);
  }
}

/**
 * Goes through the rows of a CSV text (RFC 4180): commas, or the delimiter given, double quotes, a quote inside
 * doubled, lines ended by \n, \r\n or \r. `onRow` gets the cells and the line on which the row starts; the first row is the
 * header. A quote out of place is returned with its line; the rows before it may have been passed on.
 */
export function eachCsvRow(
  text: string,
  onRow: (cells: readonly string[], line: number) => void,
  delimiter = ',',
): Fault | null {
  const unified = unifyLineEnds(text, delimiter);
  if ('fault' in unified) return unified.fault;
  if (!unified.text.includes('"')) {
    cutPlain(unified.text, onRow, delimiter);
    return null;
  }
  let line = 1;
  Papa.parse<string[]>(unified.text, {
    delimiter,
    newline: '\n',
    quoteChar: '"',
    header: false,
    skipEmptyLines: false,
    step: ({ data }) => {
      onRow(data, line);
      line += 1;
      for (const cell of data) if (/[\n\r]/.test(cell)) line += cell.split(/\r\n?|\n/).length - 1;
    },
  });
  return null;
}

/** Without a quote, every delimiter and every line end cuts; as the parser would, but without an object for each row. */
function cutPlain(
  text: string,
  onRow: (cells: readonly string[], line: number) => void,
  delimiter: string,
): void {
  if (text === '') return;
  let line = 1;
  let at = 0;
  for (let end = text.indexOf('\n'); end >= 0; end = text.indexOf('\n', at)) {
    onRow(text.slice(at, end).split(delimiter), line);
    line += 1;
    at = end + 1;
  }
  onRow(text.slice(at).split(delimiter), line);
}

/**
 * Makes every line end outside quoted cells \n, and finds a quote out of place: papaparse knows one line
 * end for a whole file, and lets a quote in the middle of a cell pass as text.
 */
function unifyLineEnds(
  text: string,
  delimiter: string,
): { readonly text: string } | { readonly fault: Fault } {
  if (!text.includes('"')) return { text: text.includes('\r') ? text.replace(/\r\n?/g, '\n') : text };
  const pieces: string[] = [];
  let from = 0;
  let line = 1;
  let at = 0;
  let cellStart = true;
  while (at < text.length) {
    const character = text[at]!;
    if (character === '"') {
      const end = cellStart ? quotedEnd(text, at, delimiter) : -1;
      if (end < 0) return { fault: quoteFault(line) };
      for (let i = at; i < end; i += 1)
        if (text[i] === '\n' || (text[i] === '\r' && text[i + 1] !== '\n')) line += 1;
      at = end;
      cellStart = false;
      continue;
    }
    cellStart = character === delimiter || character === '\n' || character === '\r';
    if (character === '\n') line += 1;
    if (character === '\r') {
      line += 1;
      pieces.push(text.slice(from, at), '\n');
      if (text[at + 1] === '\n') at += 1;
      from = at + 1;
    }
    at += 1;
  }
  pieces.push(text.slice(from));
  return { text: pieces.join('') };
}

/** The place after a quoted cell that starts at `start`, or -1 when it does not end where a cell ends. */
function quotedEnd(text: string, start: number, delimiter: string): number {
  let close = text.indexOf('"', start + 1);
  while (close >= 0 && text[close + 1] === '"') close = text.indexOf('"', close + 2);
  if (close < 0) return -1;
  const next = text[close + 1];
  return next === undefined || next === delimiter || next === '\n' || next === '\r' ? close + 1 : -1;
}

function quoteFault(line: number): Fault {
  return {
    kind: 'unreadable-file',
    row: line,
    found: 'a double quote that is out of place or never closed',
    expected: 'double quotes round a whole cell, in pairs, and doubled inside it',
    remedy: 'Take the quote away, or write it twice and put quotes round the cell.',
  };
}

/** The fault of a text whose header is cut by something other than commas; null when it uses commas. */
export function delimiterFault(text: string): Fault | null {
  // A title in quotes may hold any sign, and line ends.
  const header = /^(?:"[^"]*"|[^"\r\n]+)*/.exec(text)?.[0] ?? '';
  const delimiter = otherDelimiter(header.replace(/"[^"]*"/g, ''));
  if (delimiter === null) return null;
  return {
    kind: 'unreadable-file',
    row: 1,
    found: `${delimiter} between the columns`,
    expected: 'commas between the columns',
    remedy: 'Save the file again as CSV with commas between the columns and a point in the decimals.',
  };
}

/** The delimiter a header seems to use in place of commas, in words; null when it uses commas. */
function otherDelimiter(headerLine: string): string | null {
  if (headerLine.includes(',')) return null;
  if (headerLine.includes(';')) return 'semicolons';
  if (headerLine.includes('\t')) return 'tabs';
  if (headerLine.includes('|')) return 'bars';
  return null;
}
