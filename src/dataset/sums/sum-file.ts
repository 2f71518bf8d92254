import { stat } from 'node:fs/promises';
import { basename, extname } from 'node:path';
import {
  type DataColumns,
  type Model,
  type ModelProblem,
  planSums,
  type SumsPlan,
  unknownColumns,
} from '../../stats/index.ts';
import { type EngineOptions, type SqlEngine, withSqlEngine } from './sql-engine.ts';
import { sqlName, sqlText } from './sql-text.ts';
import { sumsQuery } from './sums-query.ts';

/** Rows at the beginning of a file that give the centres and tell words from numbers. */
const FIRST_ROWS = 10_000;

/** Sums over the groups of a model, made from a file by the embedded SQL engine. */
export interface FileSums {
  readonly plan: SumsPlan;
  /** The query as it was run. */
  readonly query: string;
  /** What `fitSums` reads. */
  readonly table: DataColumns;
}

/** The sums, or every reason why there are none. */
export type FileSumsOutcome =
  | ({ readonly ok: true } & FileSums)
  | { readonly ok: false; readonly problems: readonly Omit<ModelProblem, 'kind'>[] };

/**
 * Makes the sums a model needs from a Parquet or CSV file of any size: the embedded SQL engine goes through it once and
 * keeps a few numbers for each cell, not rows. Centres are the means of the first 10,000 rows. In a CSV file an empty
 * cell and NA are missing, as everywhere; a column all of whose first entries are words is a factor.
 *
 * @example
 * const model = { outcome: 'shaft_lean_impact_deg', fixed: ['intercept'], random: [{ group: 'golfer_id', effects: ['intercept'] }] };
 * const sums = await sumFile(model, 'swings.parquet');
 * sums.ok && fitSums(sums.plan, sums.table).ok // true
 */
export async function sumFile(
  model: Model,
  path: string,
  options: EngineOptions = {},
): Promise<FileSumsOutcome> {
  const source = await readingCall(path);
  if (!('sql' in source)) return { ok: false, problems: [source] };
  try {
    return await withSqlEngine(options, (engine) => sumSource(model, source.sql, engine));
  } catch (error) {
    return { ok: false, problems: [engineProblem(basename(path), error)] };
  }
}

async function sumSource(model: Model, source: string, engine: SqlEngine): Promise<FileSumsOutcome> {
  const described = await engine.query(`DESCRIBE SELECT * FROM ${source}`);
  const unknown = unknownColumns(model, (described.column_name as string[]) ?? []);
  if (unknown.length > 0) return { ok: false, problems: unknown };
  const first = planSums(model);
  if (!first.ok) return first;
  const planned = planSums(model, await wordColumns(first.plan, source, engine));
  if (!planned.ok) return planned;
  const { plan } = planned;
  const query = sumsQuery(plan, source, await centresOf(plan, source, engine));
  return { ok: true, plan, query, table: await engine.query(query) };
}

/** The numbers of a plan that are words: some entry, and none of them a number. */
async function wordColumns(plan: SumsPlan, source: string, engine: SqlEngine): Promise<string[]> {
  if (plan.numbers.length === 0) return [];
  const counts = plan.numbers.map((column, k) => {
    const name = `s.${sqlName(column)}`;
    return `COUNT(${name}) AS entries_${k}, COUNT(TRY_CAST(${name} AS DOUBLE)) AS numbers_${k}`;
  });
  const found = await engine.query(
    `SELECT ${counts.join(', ')} FROM ${firstRows(plan.numbers, source)} AS s`,
  );
  return plan.numbers.filter(
    (_, k) => Number(found[`entries_${k}`]![0]) > 0 && found[`numbers_${k}`]![0] === 0,
  );
}

async function centresOf(plan: SumsPlan, source: string, engine: SqlEngine): Promise<number[]> {
  const { model, numbers } = plan;
  const columns = [...numbers, model.outcome, ...(model.offset === undefined ? [] : [model.offset])];
  const value = (column: string) => `TRY_CAST(s.${sqlName(column)} AS DOUBLE)`;
  const values = [
    ...numbers.map(value),
    model.offset === undefined ? value(model.outcome) : `${value(model.outcome)} - ${value(model.offset)}`,
  ];
  const means = values.map((one, k) => `AVG(${one}) FILTER (WHERE ${one} - ${one} = 0) AS centre_${k}`);
  const found = await engine.query(`SELECT ${means.join(', ')} FROM ${firstRows(columns, source)} AS s`);
  return values.map((_, k) => {
    const mean = Number(found[`centre_${k}`]![0]);
    return Number.isFinite(mean) ? mean : 0;
  });
}

function firstRows(columns: readonly string[], source: string): string {
  return `(SELECT ${[...new Set(columns)].map(sqlName).join(', ')} FROM ${source} LIMIT ${FIRST_ROWS})`;
}

/** The call that reads a file, or why it is not read. */
async function readingCall(path: string): Promise<{ readonly sql: string } | Omit<ModelProblem, 'kind'>> {
  const where = basename(path);
  const problem = (found: string, expected: string, remedy: string) => ({ where, found, expected, remedy });
  const file = await stat(path).catch(() => null);
  if (!file?.isFile())
    return problem(
      'no file of this name',
      'a file that can be read',
      'Check the spelling and the folder you are in.',
    );
  if (/[*?[\]{}\0]/.test(path))
    return problem(
      'a name with *, ?, brackets or braces',
      'a name that cannot be taken for a pattern of names',
      'Rename the file or its folder.',
    );
  const name = sqlText(path);
  switch (extname(path).toLowerCase()) {
    case '.parquet':
      return { sql: `read_parquet(${name})` };
    case '.csv':
      return {
        sql: `read_csv(${name}, header = true, all_varchar = true, delim = ',', quote = '"', escape = '"', nullstr = ['', 'NA'])`,
      };
    default:
      return problem(
        'a file of another kind',
        'a name that ends in .parquet or .csv',
        'Save the table as Parquet or CSV.',
      );
  }
}

function engineProblem(where: string, error: unknown): Omit<ModelProblem, 'kind'> {
  const message = error instanceof Error ? error.message : String(error);
  return {
    where,
    found: message.split('\n')[0]!,
    expected: 'a table that the embedded SQL engine can read and sum',
    remedy: /memory/i.test(message)
      ? 'Give the engine more memory, or group by fewer columns: it keeps a few numbers for each cell.'
      : 'Correct the entry or the file; an entry that is missing is left empty.',
  };
}
