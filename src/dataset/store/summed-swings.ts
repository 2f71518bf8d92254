import { readFile } from 'node:fs/promises';
import { checkTables } from '../check-tables.ts';
import type { Dataset, InputFile } from '../dataset.ts';
import { TABLE_NAMES } from '../generated/rows.ts';
import { sha256Hex } from '../hash.ts';
import { type Checked, isError, type Problem } from '../problem.ts';
import type { PackedPlace } from '../read/descriptor.ts';
import { faultOf, fileInside } from '../read/inside.ts';
import { readCsvTable } from '../read/read-csv.ts';
import type { ReadTable } from '../read/table-reader.ts';
import { tableSchema } from '../schema.ts';
import { type EngineOptions, type SqlEngine, withSqlEngine } from '../sums/sql-engine.ts';
import { sqlName } from '../sums/sql-text.ts';
import { engineProblem } from './cells.ts';
import { judgeSums } from './judge-sums.ts';
import { type OpenFolder, openFolder } from './open-folder.ts';
import { openParquet, type ParquetTable, wholeParts } from './open-parquet.ts';
import { readPackedTables } from './read-packed.ts';

/** The swings of each session and task by their sums, of one column. */
export interface SwingSums {
  readonly column: string;
  /** Swings in all. */
  readonly rows: number;
  readonly groups: {
    readonly session: readonly (string | null)[];
    readonly task: readonly (string | null)[];
    /** Swings without a value in the column, and with one. */
    readonly missing: Float64Array;
    readonly count: Float64Array;
    /** Of the values: mean, sum of squares about it, least and most; NaN where there is none. */
    readonly mean: Float64Array;
    readonly squares: Float64Array;
    readonly least: Float64Array;
    readonly most: Float64Array;
  };
}

/** A dataset whose swings were summed where they are: every table but the swings, which has no rows. */
export interface SummedDataset {
  readonly dataset: Dataset;
  readonly sums: SwingSums;
}

/**
 * How many swings the Parquet files of a folder hold, from their own footers; null where the swings are not packed.
 *
 * @example
 * await packDataset('my-roster', 'packed');
 * await packedSwings('packed') // 1496: the rows of swings.csv
 * await packedSwings('my-roster') // null
 */
export async function packedSwings(folder: string): Promise<number | null> {
  const opened = await openFolder(folder);
  const place = 'root' in opened ? opened.descriptor.packed.get('swings') : undefined;
  if (!('root' in opened) || place === undefined) return null;
  const whole = await partsOf(opened.root, place);
  if (whole === null) return null;
  return withSqlEngine({}, async (engine) => {
    const table = await openParquet(engine, 'swings', place, whole);
    if (!table.ok) return null;
    let rows = 0;
    for (const { sql } of table.value.parts)
      rows += Number((await engine.query(`SELECT COUNT(*) AS n FROM ${sql}`)).n![0]);
    return rows;
  }).catch(() => null);
}

/** The parts where they are, their bytes not yet looked at; null where one is not there. */
async function partsOf(root: string, { parts }: PackedPlace) {
  const found = [];
  for (const { path, sha256 } of parts) {
    const at = await fileInside(root, path);
    if (!('path' in at)) return null;
    found.push({ path, sha256: sha256 ?? '', real: at.path });
  }
  return found;
}

/**
 * Reads a packed dataset of any size for a study that takes sums: every table but the swings as `loadDataset` reads and
 * checks it, and of the swings the sums of one column over sessions and tasks, which the embedded SQL engine makes in one
 * pass. No swing is held. The files must have the hashes of datapackage.json. Of the swings are checked: the columns are
 * there and of the right kind, tasks are tasks, values are finite and in the range that is possible (a warning where they are
 * seldom right), sessions are in sessions.csv. Ids that stand twice, and other columns, are not looked at, and `pack` does not
 * judge them either: `loadDataset` does.
 *
 * @param column of swings whose sums are wanted
 * @example
 * await packDataset('my-roster', 'packed');
 * const read = await loadSummed('packed', 'shaft_lean_impact_deg');
 * read.valid && read.value.sums.groups.count.reduce((sum, count) => sum + count, 0) // 1477: 1496 swings, 19 without a value
 */
export async function loadSummed(
  folder: string,
  column: string,
  options: EngineOptions = {},
): Promise<Checked<SummedDataset>> {
  const loaded = await loadBesideSums(folder, options, (engine, table) => summed(engine, table, column));
  if (!loaded.valid) return loaded;
  const { dataset, sums } = loaded.value;
  const problems = [...loaded.problems, ...judgeSums(sums, dataset.tables.sessions)];
  return problems.some(isError) ? { valid: false, problems } : { ...loaded, problems };
}

/** The same with other sums of the swings, as `work` makes them of the packed table. */
export async function loadBesideSums<T extends object>(
  folder: string,
  options: EngineOptions,
  work: (engine: SqlEngine, table: ParquetTable) => Promise<T | readonly Problem[]>,
): Promise<Checked<{ readonly dataset: Dataset; readonly sums: T }>> {
  const opened = await openFolder(folder);
  if (!('root' in opened)) return { valid: false, problems: opened.problems };
  const place = opened.descriptor.packed.get('swings');
  if (place === undefined)
    return invalid('swings', {
      found: 'swings that are not packed',
      expected: 'swings as Parquet files, with their hashes in datapackage.json',
      remedy: "Pack the dataset ('pack').",
    });
  const whole = await wholeParts(opened.root, 'swings', place);
  if (!whole.ok) return { valid: false, problems: whole.problems };
  const others = await otherTables(opened);
  const problems = [...others.problems];
  const sums = await withSqlEngine(options, async (engine): Promise<T | readonly Problem[]> => {
    const table = await openParquet(engine, 'swings', place, whole.value);
    if (!table.ok) return table.problems;
    try {
      return await work(engine, table.value);
    } catch (error) {
      return [engineProblem('swings', whole.value[0]?.path ?? '', error)];
    }
  });
  if (isProblems(sums)) problems.push(...sums);
  const files = [...others.files, ...whole.value.map(({ path, sha256 }) => ({ file: path, sha256 }))];
  const checked = checkTables({
    tables: others.tables,
    files: files.sort((a, b) => (a.file < b.file ? -1 : 1)),
    title: opened.descriptor.title,
    problems,
    mayBeEmpty: true,
  });
  if (!checked.valid || isProblems(sums)) return { valid: false, problems: checked.problems };
  return { valid: true, value: { dataset: checked.value, sums }, problems: checked.problems };
}

function isProblems(sums: object): sums is readonly Problem[] {
  return Array.isArray(sums);
}

async function otherTables({ root, descriptor }: OpenFolder) {
  const tables: ReadTable[] = [];
  const files: InputFile[] = [];
  const problems: Problem[] = [];
  const packed = await readPackedTables(
    root,
    new Map([...descriptor.packed].filter(([name]) => name !== 'swings')),
  );
  tables.push(...packed.tables);
  files.push(...packed.files);
  problems.push(...packed.problems);
  const read = async (path: string): Promise<Uint8Array | null> => {
    const at = await fileInside(root, path);
    if ('fault' in at) problems.push(faultOf(path, at.fault));
    return 'path' in at ? readFile(at.path) : null;
  };
  const descriptorBytes = await read('datapackage.json');
  if (descriptorBytes !== null) files.push({ file: 'datapackage.json', sha256: sha256Hex(descriptorBytes) });
  for (const name of TABLE_NAMES) {
    if (descriptor.packed.has(name)) continue;
    const path = descriptor.paths.get(name) ?? `${name}.csv`;
    const bytes = await read(path);
    if (bytes === null) continue;
    files.push({ file: path, sha256: sha256Hex(bytes) });
    const { read: table, problems: faults } = readCsvTable(name, bytes);
    problems.push(...faults);
    if (table !== null) tables.push(table);
  }
  tables.sort((a, b) => TABLE_NAMES.indexOf(a.name) - TABLE_NAMES.indexOf(b.name));
  return { tables, files, problems };
}

/** Centred squares come from the engine's running variance (Welford 1962), which keeps its digits far from zero. */
async function summed(
  engine: SqlEngine,
  { columns, names, types, parts }: ParquetTable,
  column: string,
): Promise<SwingSums | readonly Problem[]> {
  const nameOf = (wanted: string) => names[columns.indexOf(wanted)];
  const absent = ['session_id', 'task', column].filter((wanted) => nameOf(wanted) === undefined);
  if (absent.length > 0) return absent.map((wanted) => absentColumn(wanted, columns));
  const type = types[columns.indexOf(column)]!;
  if (!isNumeric(type)) return [wrongKind(column, type)];
  const value = `CAST(CAST(${sqlName(nameOf(column)!)} AS ${type === 'BOOLEAN' ? 'INTEGER' : 'DOUBLE'}) AS DOUBLE)`;
  const source = parts.map(({ sql }) => `SELECT * FROM ${sql}`).join(' UNION ALL ');
  const found = await engine.query(`SELECT session, task,
    COUNT(*) - COUNT(x) AS missing, COUNT(x) AS n, AVG(x) AS mean, VAR_POP(x) * COUNT(x) AS squares,
    MIN(x) AS least, MAX(x) AS most, COUNT(*) FILTER (WHERE NOT isfinite(x)) AS endless
    FROM (SELECT CAST(${sqlName(nameOf('session_id')!)} AS VARCHAR) AS session,
      CAST(${sqlName(nameOf('task')!)} AS VARCHAR) AS task, ${value} AS x FROM (${source}))
    GROUP BY session, task ORDER BY session, task`);
  const numbers = (name: string) => found[name] as Float64Array;
  const tasks = found.task as (string | null)[];
  const endless = numbers('endless').reduce((sum, count) => sum + count, 0);
  const problems = [
    ...taskFaults(tasks),
    ...(endless > 0
      ? [sumsFault(column, `${endless} values that are no finite number`, 'finite numbers')]
      : []),
  ];
  if (problems.length > 0) return problems;
  const [missing, count] = [numbers('missing'), numbers('n')];
  let rows = 0;
  for (let g = 0; g < count.length; g++) rows += missing[g]! + count[g]!;
  return {
    column,
    rows,
    groups: {
      session: found.session as (string | null)[],
      task: tasks,
      missing,
      count,
      mean: numbers('mean'),
      squares: numbers('squares'),
      least: numbers('least'),
      most: numbers('most'),
    },
  };
}

type Said = Pick<Problem, 'found' | 'expected' | 'remedy'>;

function invalid(table: string, said: Said): { valid: false; problems: readonly Problem[] } {
  return { valid: false, problems: [faultOf(table, { kind: 'unreadable-file', ...said })] };
}

export function sumsFault(column: string, found: string, expected: string): Problem {
  const remedy = 'Correct the values and pack the dataset again.';
  return { ...faultOf('swings', { kind: 'unreadable-file', found, expected, remedy }), column };
}

/** A fault for each task that is none. */
export function taskFaults(tasks: readonly (string | null)[]): Problem[] {
  const known = tableSchema('swings').fields.find(({ name }) => name === 'task')?.constraints?.enum ?? [];
  return [...new Set(tasks)]
    .filter((task) => task === null || !known.includes(task))
    .map((task) => sumsFault('task', `"${task ?? ''}" as a task`, `one of ${known.join(', ')}`));
}

/** Whether the engine's type holds numbers, or yes and no. */
export function isNumeric(type: string): boolean {
  return /^(U?(TINY|SMALL|BIG|HUGE)INT|U?INTEGER|FLOAT|DOUBLE|BOOLEAN|DECIMAL\(.*)$/.test(type);
}

function absentColumn(column: string, columns: readonly string[]): Problem {
  return {
    ...sumsFault(column, `no column ${column} in the Parquet files`, `one of: ${columns.join(', ')}`),
    remedy: 'Ask for a metric that was measured, or pack the dataset with that column.',
  };
}

function wrongKind(column: string, type: string): Problem {
  return sumsFault(column, `${column} held as ${type}`, 'numbers as numbers');
}
