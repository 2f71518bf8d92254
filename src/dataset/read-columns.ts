import type { Problem } from './problem.ts';
import { csvText, delimiterFault, eachCsvRow } from './read/csv-text.ts';

/** The cells of a CSV file by column, null where empty, or every problem of the file. */
export type ReadColumns =
  | { readonly ok: true; readonly columns: Readonly<Record<string, readonly (string | null)[]>> }
  | { readonly ok: false; readonly problems: readonly Problem[] };

/**
 * The columns of any CSV file with a header, as text; an empty cell is null. For data that are not one of
 * the dataset's tables, such as those a model is fitted to.
 *
 * @param file the name to use in problems
 * @example
 * readColumns('d.csv', new TextEncoder().encode('Days,Subject\n0,308\n1,308\n'))
 * // { ok: true, columns: { Days: ['0', '1'], Subject: ['308', '308'] } }
 */
export function readColumns(file: string, bytes: Uint8Array): ReadColumns {
  const at = { severity: 'error', table: file, column: null } as const;
  const decoded = csvText(bytes);
  if ('fault' in decoded) return { ok: false, problems: [{ ...at, ...decoded.fault }] };
  const { text } = decoded;
  const delimiter = delimiterFault(text);
  if (delimiter !== null) return { ok: false, problems: [{ ...at, ...delimiter }] };
  let header: readonly string[] = [];
  let columns: (string | null)[][] = [];
  const problems: Problem[] = [];
  let first = true;
  const fault = eachCsvRow(text, (cells, line) => {
    if (first) {
      first = false;
      header = cells;
      columns = cells.map(() => []);
      problems.push(...headerFaults(cells).map((headerFault) => ({ ...at, ...headerFault })));
    } else if (cells.length === 1 && cells[0] === '') {
      // A blank line, most often the last one, holds nothing to lose.
    } else if (cells.length !== header.length) {
      problems.push({ ...at, ...raggedFault(line, cells.length, header.length) });
    } else {
      cells.forEach((cell, index) => {
        columns[index]?.push(cell === '' ? null : cell);
      });
    }
  });
  if (fault !== null) problems.push({ ...at, ...fault });
  if (problems.length === 0 && (columns[0]?.length ?? 0) === 0) problems.push({ ...at, ...EMPTY_FAULT });
  if (problems.length > 0) return { ok: false, problems };
  return { ok: true, columns: Object.fromEntries(header.map((name, index) => [name, columns[index] ?? []])) };
}

type Fault = Pick<Problem, 'kind' | 'row' | 'found' | 'expected' | 'remedy'>;

const EMPTY_FAULT: Fault = {
  kind: 'empty-file',
  row: null,
  found: 'no rows of data',
  expected: 'a header with the names of the columns, then the rows',
  remedy: 'Check that this is the file you meant.',
};

function raggedFault(line: number, found: number, expected: number): Fault {
  return {
    kind: 'ragged-row',
    row: line,
    found: `${found} cells`,
    expected: `${expected} cells, as in the header`,
    remedy: 'Look for a comma too many or too few, or put quotes round a cell that holds a comma.',
  };
}

function headerFaults(header: readonly string[]): Fault[] {
  const seen = new Set<string>();
  const faults: Fault[] = [];
  header.forEach((name, index) => {
    if (name.trim() === '' || name === '__proto__')
      faults.push({
        kind: 'missing-column',
        row: 1,
        found: name === '__proto__' ? 'the name __proto__' : `no name for column ${index + 1}`,
        expected: 'a name for every column',
        remedy: 'Give the column a name.',
      });
    else if (seen.has(name))
      faults.push({
        kind: 'duplicate-column',
        row: 1,
        found: `${name} again, in column ${index + 1}`,
        expected: 'each column once',
        remedy: 'Take one of the two columns away, or give it another name.',
      });
    seen.add(name);
  });
  return faults;
}
