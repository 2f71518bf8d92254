import fc from 'fast-check';
import Papa from 'papaparse';
import { expect, it } from 'vitest';
import { eachCsvRow } from '../../src/dataset/read/csv-text.ts';

it('cuts a text without quotes as the CSV library does', () => {
  const pieces = fc.constantFrom(',', ';', '\n', '\r\n', 'a', '1.5', ' ', 'ä', '𝄞', '\t', "'");
  fc.assert(
    fc.property(
      fc.array(pieces, { maxLength: 40 }).map((parts) => parts.join('')),
      fc.constantFrom(',', ';', '\t'),
      (text, delimiter) => {
        const rows: [number, readonly string[]][] = [];
        expect(eachCsvRow(text, (cells, line) => rows.push([line, cells]), delimiter)).toBeNull();
        const { data } = Papa.parse<string[]>(text.replace(/\r\n?/g, '\n'), { delimiter, newline: '\n' });
        expect(rows).toEqual(data.map((cells, index) => [index + 1, cells]));
      },
    ),
    { numRuns: 1000, seed: 8 },
  );
});
