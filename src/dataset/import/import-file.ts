import { stat } from 'node:fs/promises';
import { canonicalJson } from '../canonical-json.ts';
import { replacement } from '../folder-replacement.ts';
import { sha256Hex } from '../hash.ts';
import { AlreadyThereError, type FilePieces, fillNewFolder } from '../new-files.ts';
import type { Problem } from '../problem.ts';
import { replaceFolder, settleFolder } from '../replace-folder.ts';
import { checkOutcome } from './check-outcome.ts';
import { broughtBack } from './erased-rows.ts';
import { descriptorWith, type Existing, readExisting } from './existing-dataset.ts';
import {
  assertAllCounted,
  type Counts,
  LOG_FILE,
  type LogEntry,
  logBehind,
  pastImports,
} from './import-log.ts';
import type { ImportProblem } from './import-problem.ts';
import { type Mapping, openQuestions } from './mapping.ts';
import { openFile } from './open-file.ts';
import type { EmptiedCell } from './row-records.ts';
import { headersOf } from './sheet-layout.ts';
import type { SheetRows } from './sheet-rows.ts';
import { type SourceRows, sourceRows } from './source-rows.ts';
import { type LeftOutRow, type Taken, takeRows } from './take-rows.ts';

/** A spreadsheet, the mapping that says what becomes what, and where it goes. */
export interface ImportRequest {
  readonly mapping: Mapping;
  /** The bytes of the spreadsheet. */
  readonly source: Uint8Array;
  /** The spreadsheet is another one of the same columns than the mapping was proposed for. */
  readonly otherFile?: boolean;
  /** The dataset's folder; it need not exist. */
  readonly data: string;
  /** A new folder for the outcome; without it the dataset's folder itself is replaced, whole or not at all. */
  readonly out?: string;
}

/** What became of every row of an imported spreadsheet. */
export interface ImportOutcome {
  /** Whether anything was written. */
  readonly changed: boolean;
  /** Why nothing was, where nothing was. */
  readonly why: string | null;
  readonly counts: Counts;
  readonly leftOut: readonly LeftOutRow[];
  /** Cells left empty, those with a word for missing not among them. */
  readonly emptied: readonly EmptiedCell[];
  readonly missingWords: number;
  readonly unmatchedSwings: readonly string[];
  readonly kept: Taken['kept'];
  /** What was added to the clock of a file joined by time, and how that is known; null where none was joined so. */
  readonly clock: Taken['clock'];
  readonly warnings: readonly Problem[];
}

/** What was imported, or every reason why nothing was. */
export type ImportResult =
  | { readonly ok: true; readonly value: ImportOutcome }
  | { readonly ok: false; readonly problems: readonly ImportProblem[]; readonly rows: number | null };

/**
 * Brings a spreadsheet into a dataset by its mapping. Every row of the sheet is written, joined, there already, or
 * listed with the reason why it was left out. The spreadsheet and the mapping are kept under `originals/` by their
 * SHA-256, every action goes into `import-log.jsonl`, and the same file with the same mapping changes nothing. Killed at
 * any moment, the dataset is the old one or the new one (see replaceFolder).
 *
 * @throws AlreadyThereError when `out` holds something; FolderInUseError, FolderChangedError as replaceFolder
 * @example
 * const source = new TextEncoder().encode('date,golfer,plays,phase,task,club speed (mph)\n2026-03-04,G01,right,post,full,80\n');
 * const proposal = proposeMapping(source, 'lesson.csv');
 * const outcome = await importFile({ mapping: proposal.mapping, source, data: 'new-roster' });
 * outcome.ok && outcome.value.changed // true
 */
export async function importFile(request: ImportRequest): Promise<ImportResult> {
  const prepared = prepare(request);
  if ('problems' in prepared) return { ok: false, ...prepared };
  const { data, out } = request;
  let result: ImportResult = { ok: false, problems: [], rows: prepared.rowCount };
  const work = async (old: string | null): Promise<ReadonlyMap<string, FilePieces> | null> => {
    const worked = await outcomeOf(request, prepared, old);
    result = worked.result;
    return worked.files;
  };
  if (out === undefined)
    await replaceFolder(data, async (made) => {
      const files = await work(made.old);
      if (files === null) return 'leave';
      for (const [path, content] of files) await made.put(path, content);
      await made.keepOthers();
      return 'replace';
    });
  else await writeBeside(data, out, work);
  return result;
}

async function writeBeside(
  data: string,
  out: string,
  work: (old: string | null) => Promise<ReadonlyMap<string, FilePieces> | null>,
): Promise<void> {
  await settleFolder(data);
  const old = (await stat(data).catch(() => null))?.isDirectory() === true ? data : null;
  const nothing = new Error('nothing to write');
  try {
    await fillNewFolder(out, async (put, partial) => {
      const files = await work(old);
      if (files === null) throw nothing;
      for (const [path, content] of files) await put(path, content);
      if (old !== null) await replacement(partial, old).keepOthers();
    });
  } catch (error) {
    if (error !== nothing || error instanceof AlreadyThereError) throw error;
  }
}

interface Prepared extends SourceRows {
  /** The place of the first row with data, and how many there are. */
  readonly firstRow: number;
  readonly rowCount: number;
  readonly headers: readonly string[];
  readonly sourceHash: string;
  readonly mappingText: string;
}

type Refused = { readonly problems: readonly ImportProblem[]; readonly rows: number | null };

/** Everything that can be wrong before the dataset is looked at. */
function prepare({ mapping, source, otherFile }: ImportRequest): Prepared | Refused {
  const name = mapping.source.file;
  const sourceHash = sha256Hex(source);
  if (otherFile !== true && sourceHash !== mapping.source.sha256)
    return {
      rows: null,
      problems: [
        {
          where: name,
          found: `a file that is not the one the mapping was proposed for (SHA-256 ${sourceHash.slice(0, 12)}...)`,
          expected: `the file with the SHA-256 ${mapping.source.sha256.slice(0, 12)}...`,
          remedy:
            'Propose again for the changed file; for another file of the same columns give it by its own option.',
        },
      ],
    };
  const opened = openFile(source, name);
  if (!opened.ok) return { problems: [opened.problem], rows: null };
  const questions = openQuestions(mapping);
  if (mapping.reading.sheet === 'ask') return { problems: questions, rows: null };
  const read = sourceRows(opened.file, mapping.reading, name);
  if (!read.ok) return { problems: [read.problem], rows: null };
  const headers = headersOf(read.source.rows, mapping.reading.header_lines, read.source.merged);
  const { rows } = read.source;
  const firstRow = rows.from(mapping.reading.first_line);
  const rowCount = rows.length - firstRow;
  const problems = [...questions, ...headerFaults(mapping, headers)];
  if (problems.length > 0) return { problems, rows: rowCount };
  return {
    ...read.source,
    firstRow,
    rowCount,
    headers,
    sourceHash,
    mappingText: canonicalJson(mapping, { indent: 2, sortKeys: false }),
  };
}

function headerFaults(mapping: Mapping, headers: readonly string[]): ImportProblem[] {
  const faults = mapping.columns.flatMap(({ column, header }, index): ImportProblem[] => {
    const stands = headers[column - 1];
    if (stands === header) return [];
    return [
      {
        where: `mapping /columns/${index}/header`,
        found:
          stands === undefined
            ? `no column ${column} in the sheet`
            : `'${stands}' in column ${column} of the sheet`,
        expected: `'${header}'`,
        remedy: 'Propose again for this file: its columns are not those of the mapping.',
      },
    ];
  });
  const mapped = new Set(mapping.columns.map(({ column }) => column));
  headers.forEach((header, index) => {
    if (!mapped.has(index + 1))
      faults.push({
        where: 'mapping /columns',
        found: `no entry for column ${index + 1} '${header}' of the sheet`,
        expected: 'an entry for each column',
        remedy: 'Add it; "to": null leaves the column in the original only.',
      });
  });
  return faults;
}

async function outcomeOf(
  request: ImportRequest,
  prepared: Prepared,
  old: string | null,
): Promise<{ readonly result: ImportResult; readonly files: ReadonlyMap<string, FilePieces> | null }> {
  const { mapping } = request;
  const { rows, firstRow, rowCount, headers, sourceHash, mappingText } = prepared;
  const refused = (problems: readonly ImportProblem[]) => ({
    result: { ok: false as const, problems, rows: rowCount },
    files: null,
  });
  const read = await readExisting(old);
  if (!read.ok) return refused(read.problems);
  const { existing } = read;
  const mappingHash = sha256Hex(mappingText);
  const past = pastImports(existing.log);
  const earlier = past.find(({ source, mapping: hash }) => source === sourceHash && hash === mappingHash);
  if (earlier !== undefined) {
    const counts = { rows: rowCount, imported: 0, joined: 0, alreadyThere: rowCount, leftOut: 0 };
    return {
      result: {
        ok: true,
        value: {
          ...NOTHING,
          why: `the same file was imported with the same mapping before (import ${earlier.number})`,
          counts,
        },
      },
      files: null,
    };
  }
  const back = await broughtBack(old, existing.log, prepared, mapping);
  if (back !== null) return refused([back]);
  const statuses = golferStatus(mapping, existing);
  if (statuses.length > 0) return refused(statuses);
  const taken = takeRows(mapping, rows.between(firstRow), headers.length, existing.tables);
  if (taken.problems.length > 0) return refused(taken.problems);
  const values = mapping.columns.map(({ column }) => valuesIn(rows, firstRow, column - 1));
  rows.release();
  const checked = checkOutcome(mapping, existing.tables, taken);
  if (!checked.ok) return refused(checked.problems);
  const counts: Counts = {
    rows: rowCount,
    imported: taken.imported.length,
    joined: taken.joined.length,
    alreadyThere: taken.alreadyThere.length,
    leftOut: taken.leftOut.length,
  };
  assertAllCounted(counts);
  const value: ImportOutcome = {
    changed: counts.imported + counts.joined > 0,
    why: counts.imported + counts.joined > 0 ? null : 'no row of the sheet is new',
    counts,
    leftOut: [...taken.leftOut].sort((a, b) => a.line - b.line),
    emptied: taken.cells.filter(({ quiet }) => !quiet),
    missingWords: taken.cells.filter(({ quiet }) => quiet).length,
    unmatchedSwings: taken.unmatchedSwings,
    kept: taken.kept,
    clock: taken.clock,
    warnings: checked.warnings,
  };
  if (!value.changed) return { result: { ok: true, value }, files: null };
  const number = Math.max(0, ...past.map((one) => one.number)) + 1;
  const original = `originals/${sourceHash}`;
  const entries = logOf(number, original, prepared, mapping, mappingHash, counts, values, taken);
  const files = new Map<string, FilePieces>([
    ...[...existing.tables]
      .filter(([, table]) => table.changed)
      .map(([name, table]): [string, FilePieces] => [existing.paths.get(name)!, table.csv()]),
    ['datapackage.json', descriptorWith(existing)],
    [
      `${original}.${request.source[0] === 0x50 && request.source[1] === 0x4b ? 'xlsx' : 'csv'}`,
      request.source,
    ],
    [`${original}-mapping-${mappingHash.slice(0, 16)}.json`, `${mappingText}\n`],
    [LOG_FILE, logBehind(existing.log, entries)],
  ]);
  return { result: { ok: true, value }, files };
}

const NOTHING: Omit<ImportOutcome, 'why' | 'counts'> = {
  changed: false,
  leftOut: [],
  emptied: [],
  missingWords: 0,
  unmatchedSwings: [],
  kept: [],
  clock: null,
  warnings: [],
};

/** A code that is new must not be somebody's, and one that is known must be there. */
function golferStatus(mapping: Mapping, { tables }: Existing): ImportProblem[] {
  const golfers = tables.get('golfers')!;
  return mapping.golfers.flatMap(({ golfer_id, status, plays }, index): ImportProblem[] => {
    const row = golfers.rowOf(golfer_id);
    const where = `mapping /golfers/${index}`;
    if (status === 'new' && row !== undefined)
      return [
        {
          where: `${where}/status`,
          found: `${golfer_id}, which the dataset has already`,
          expected: 'a code that is free, or the status known',
          remedy: `If it is the same golfer, write "known"; if not, give another code.`,
        },
      ];
    if (status === 'known' && row === undefined)
      return [
        {
          where: `${where}/status`,
          found: `${golfer_id}, which the dataset does not have`,
          expected: 'a golfer of the dataset',
          remedy: 'Correct the code, or write "new".',
        },
      ];
    if (row !== undefined && plays !== null && plays !== golfers.get(row, 'plays'))
      return [
        {
          where: `${where}/plays`,
          found: plays,
          expected: `${golfers.get(row, 'plays')}, as the dataset has it`,
          remedy: 'Correct the one that is wrong.',
        },
      ];
    return [];
  });
}

function* logOf(
  number: number,
  original: string,
  { sourceHash, formulas }: Prepared,
  mapping: Mapping,
  mappingHash: string,
  counts: Counts,
  values: readonly number[],
  taken: Taken,
): IterableIterator<LogEntry> {
  const at = { import: number } as const;
  const nameColumn = mapping.columns.find(({ to }) => to === 'golfers.golfer_id')?.column;
  yield {
    ...at,
    what: 'file',
    original,
    source_sha256: sourceHash,
    mapping_sha256: mappingHash,
    ...counts,
    formulas,
  };
  for (const [index, { column, header, to, unit, convention, side, reason }] of mapping.columns.entries())
    yield {
      ...at,
      what: 'column',
      column,
      header,
      to,
      ...(unit === undefined ? {} : { unit }),
      ...(convention === undefined ? {} : { convention }),
      ...(side === undefined ? {} : { side }),
      values: values[index]!,
      why: reason,
    };
  if (taken.clock !== null) yield { ...at, what: 'clock', ...taken.clock };
  for (const { line, key } of taken.imported) yield { ...at, what: 'row', line, became: mapping.rows, key };
  for (const { line, swing, secondsApart } of taken.joined)
    yield { ...at, what: 'row', line, joined: swing, seconds_apart: secondsApart };
  for (const { line, key } of taken.alreadyThere) yield { ...at, what: 'row', line, already_there: key };
  for (const { line, why } of taken.leftOut) yield { ...at, what: 'row', line, left_out: why };
  for (const { line, column, header, found, why } of taken.cells)
    yield {
      ...at,
      what: 'cell',
      line,
      column,
      header,
      found: column === nameColumn ? '(a name)' : found,
      written: '',
      why,
    };
  for (const { line, table, column, has } of taken.kept)
    yield {
      ...at,
      what: 'kept',
      line,
      table,
      column,
      has,
      why: 'the dataset had this, and nothing is overwritten',
    };
  for (const swing of taken.unmatchedSwings) yield { ...at, what: 'swing without a row', swing };
}

/** How many cells of a column hold something. */
function valuesIn(rows: SheetRows, firstRow: number, index: number): number {
  let values = 0;
  for (let place = firstRow; place < rows.length; place += 1)
    if (rows.kind(place, index) !== 'error' && rows.cell(place, index).trim() !== '') values += 1;
  return values;
}
