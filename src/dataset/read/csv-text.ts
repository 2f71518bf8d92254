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
 * Goes through the rows of a CSV text: commas, double quotes, a quote inside doubled, lines ended by \n,
 * \r\n or \r. `onRow` gets the cells and the line on which the row starts; the first row is the header.
 * A quote out of place is reported, with its line, and the rest is not read.
 *
 * papaparse reads; where a file mixes line ends it would take one of them for text, so they are made one.
 */
export function eachCsvRow(
  text: string,
  onRow: (cells: readonly string[], line: number) => void,
): Fault | null {
  const unified = text.includes('\r') ? text.replace(/\r\n?/g, '\n') : text;
  let line = 1;
  let fault: Fault | null = null;
  Papa.parse<string[]>(unified, {
    delimiter: ',',
    newline: '\n',
    quoteChar: '"',
    header: false,
    skipEmptyLines: false,
    step: ({ data, errors }, parser) => {
      if (errors.length > 0) {
        fault = quoteFault(line);
        parser.abort();
        return;
      }
      onRow(data, line);
      line += 1;
      for (const cell of data) if (cell.includes('\n')) line += cell.split('\n').length - 1;
    },
  });
  return fault;
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

/** The delimiter a header seems to use in place of commas, in words; null when it uses commas. */
export function otherDelimiter(headerLine: string): string | null {
  if (headerLine.includes(',')) return null;
  if (headerLine.includes(';')) return 'semicolons';
  if (headerLine.includes('\t')) return 'tabs';
  if (headerLine.includes('|')) return 'bars';
  return null;
}
