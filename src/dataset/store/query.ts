import { TABLE_NAMES, type TableName } from '../generated/rows.ts';
import { type Checked, isError, type Problem } from '../problem.ts';
import { absentTable } from '../read/absent-table.ts';
import { faultOf, fileInside } from '../read/inside.ts';
import { type FieldSchema, tableSchema } from '../schema.ts';
import { type EngineOptions, type SqlEngine, withSqlEngine } from '../sums/sql-engine.ts';
import { sqlName, sqlText } from '../sums/sql-text.ts';
import { openCells, structuralProblemsOf } from './cells.ts';
import { engineWords } from './engine-file.ts';
import { heldSelect, holdColumns } from './hold-columns.ts';
import { openFolder } from './open-folder.ts';
import { openParquet, wholeParts } from './open-parquet.ts';
import { parquetNames } from './parquet-names.ts';

/** A column of an answer: numbers (NaN missing), or texts, dates as text, and yes/no as true and false (null missing). */
export type QueryColumn = Float64Array | readonly (string | boolean | null)[];

/** The answer of a query, column by column. */
export interface QueryAnswer {
  readonly rows: number;
  readonly columns: Readonly<Record<string, QueryColumn>>;
}

/**
 * Answers a question in SQL over the tables of a folder, packed or CSV, of any size: each table it has is there under its
 * name with the types of its fields (texts, numbers in double precision, whole numbers, yes/no, dates). The SQL is that of
 * the embedded engine (DuckDB), which reads nothing but these tables, writes nothing and asks no network. For small tables,
 * `toArquero` is the way. The data are not checked; `loadDataset` does that.
 *
 * @throws Error with the engine's words where the SQL is wrong, where two columns of the answer have one name, or where a
 *   whole number is too large to be held exactly
 * @example
 * const asked = await queryDataset('my-roster', 'SELECT plays, count(*) AS golfers FROM golfers GROUP BY plays ORDER BY plays');
 * asked.valid && asked.value.columns // { plays: ['left', 'right'], golfers: [4, 32] }
 */
export async function queryDataset(
  folder: string,
  sql: string,
  options: EngineOptions = {},
): Promise<Checked<QueryAnswer>> {
  const opened = await openFolder(folder);
  if ('problems' in opened) return { valid: false, problems: opened.problems };
  const { root, descriptor } = opened;
  return withSqlEngine(options, async (engine): Promise<Checked<QueryAnswer>> => {
    const problems: Problem[] = [];
    const files: string[] = [];
    for (const table of TABLE_NAMES) {
      const place = descriptor.packed.get(table);
      const path = descriptor.paths.get(table);
      if (place !== undefined) {
        const whole = await wholeParts(root, table, place);
        const parquet = whole.ok ? await openParquet(engine, table, place, whole.value) : whole;
        if (!parquet.ok) {
          problems.push(...parquet.problems);
          if (!parquet.problems.some(isError)) await createView(engine, table, withoutRows(table));
          continue;
        }
        const { parts } = parquet.value;
        files.push(...parts.map(({ real }) => real));
        await createView(engine, table, parts.map((part) => `SELECT * FROM ${part.sql}`).join(' UNION ALL '));
        continue;
      }
      const found = await fileInside(root, path ?? `${table}.csv`);
      if ('fault' in found) problems.push(faultOf(table, found.fault));
      else if ('absent' in found) {
        if (path === undefined) continue;
        problems.push(await absentTable(root, table, path));
        await createView(engine, table, withoutRows(table));
      } else {
        const select = await csvSelect(engine, table, found.path);
        if (typeof select === 'string') await createView(engine, table, select);
        else problems.push(...select);
        files.push(found.path);
      }
    }
    if (problems.some(isError)) return { valid: false, problems };
    const allowed = files.map(sqlText).join(', ');
    await engine.connection.run(`SET allowed_paths = [${allowed}]`);
    await engine.connection.run(`SET allowed_directories = [${sqlText(engine.folder)}]`);
    await engine.connection.run('SET enable_external_access = false');
    await engine.connection.run('SET lock_configuration = true');
    return { valid: true, value: await answerOf(engine, sql), problems };
  });
}

async function csvSelect(
  engine: SqlEngine,
  table: TableName,
  path: string,
): Promise<string | readonly Problem[]> {
  const opened = await openCells(engine, table, path, `${table}.csv`);
  if (!opened.ok) return opened.problems;
  const held = await holdColumns(engine, table, opened.cells);
  if (held === null) return structuralProblemsOf(table, path, `${table}.csv`);
  const names = parquetNames(held.columns.map(({ name }) => name));
  return heldSelect(held.columns, opened.cells.sql, names);
}

const ENGINE_TYPE: Readonly<Record<FieldSchema['type'], string>> = {
  string: 'VARCHAR',
  number: 'DOUBLE',
  integer: 'BIGINT',
  boolean: 'BOOLEAN',
  date: 'DATE',
};

/** The columns of a table's schema, and no row. */
function withoutRows(table: TableName): string {
  const columns = tableSchema(table).fields.map(
    ({ name, type }) => `CAST(NULL AS ${ENGINE_TYPE[type]}) AS ${sqlName(name)}`,
  );
  return `SELECT ${columns.join(', ')} WHERE false`;
}

async function createView(engine: SqlEngine, table: TableName, select: string): Promise<void> {
  await engine.connection.run(`CREATE TEMP VIEW ${sqlName(table)} AS ${select}`);
}

async function answerOf(engine: SqlEngine, sql: string): Promise<QueryAnswer> {
  try {
    const result = await engine.connection.stream(sql);
    const names = result.columnNames();
    const twice = names.find((name, c) => names.indexOf(name) < c);
    if (twice !== undefined)
      throw new Error(`two columns are named ${twice}. Give one of them a name with AS`);
    const numeric = result.columnTypes().map((type) => NUMERIC.test(type.toString()));
    const columns: unknown[][] = names.map(() => []);
    for (;;) {
      const chunk = await result.fetchChunk();
      if (chunk === null || chunk.rowCount === 0) break;
      names.forEach((_, c) => {
        for (const entry of chunk.getColumnValues(c)) columns[c]!.push(entry);
      });
    }
    const entries = names.map((name, c): [string, QueryColumn] => [
      name,
      numeric[c] === true
        ? Float64Array.from(columns[c]!, (entry) => number(entry, name))
        : columns[c]!.map(plain),
    ]);
    return { rows: columns[0]?.length ?? 0, columns: Object.fromEntries(entries) };
  } catch (error) {
    throw new Error(`queryDataset: ${engineWords(error)}.`);
  }
}

const NUMERIC = /^(U?(TINY|SMALL|BIG|HUGE)INT|U?INTEGER|FLOAT|DOUBLE|DECIMAL.*)$/;

function number(entry: unknown, name: string): number {
  if (entry === null) return Number.NaN;
  const value = Number(typeof entry === 'bigint' ? entry : String(entry));
  if (typeof entry === 'bigint' && BigInt(value) !== entry)
    throw new Error(`${name} holds ${entry}, which no number holds exactly. Cast it to DOUBLE or VARCHAR`);
  return value;
}

function plain(entry: unknown): string | boolean | null {
  return entry === null || typeof entry === 'boolean' ? entry : String(entry);
}
