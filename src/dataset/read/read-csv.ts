import type { TableName } from '../generated/rows.ts';
import type { Problem } from '../problem.ts';
import { csvText, delimiterFault, eachCsvRow } from './csv-text.ts';
import { type ReadTable, TableReader } from './table-reader.ts';

/** A table from the bytes of its CSV file; `table` is null when the file as a whole cannot be read. */
export function readCsvTable(
  name: TableName,
  bytes: Uint8Array,
): { readonly read: ReadTable | null; readonly problems: readonly Problem[] } {
  const at = { severity: 'error', table: name, column: null } as const;
  const decoded = csvText(bytes);
  if ('fault' in decoded) return { read: null, problems: [{ ...at, ...decoded.fault }] };
  if (decoded.text.trim() === '')
    return {
      read: null,
      problems: [
        {
          ...at,
          kind: 'empty-file',
          row: null,
          found: 'an empty file',
          expected: 'a header with the names of the columns, then the rows',
          remedy: `Write the header of ${name}.csv; 'init' writes one with the right columns.`,
        },
      ],
    };
  const delimiter = delimiterFault(decoded.text);
  if (delimiter !== null) return { read: null, problems: [{ ...at, ...delimiter }] };
  let reader: TableReader | null = null;
  const fault = eachCsvRow(decoded.text, (cells, line) => {
    if (reader === null) reader = new TableReader(name, cells);
    else reader.push(cells, line);
  });
  // After a quote out of place nothing that follows can be trusted, keys least of all.
  if (fault !== null) return { read: null, problems: [{ ...at, ...fault }] };
  return { read: (reader as TableReader | null)?.finish() ?? null, problems: [] };
}
