import type { Dataset } from '../dataset.ts';
import { type Checked, isError, type Problem } from '../problem.ts';
import type { EngineOptions, SqlEngine } from '../sums/sql-engine.ts';
import { sqlName, sqlText } from '../sums/sql-text.ts';
import { judgeCells } from './judge-sums.ts';
import type { ParquetTable } from './open-parquet.ts';
import { readDoubles } from './read-doubles.ts';
import { isNumeric, loadBesideSums, sumsFault, taskFaults } from './summed-swings.ts';

/** Columns of numbers of full swings whose means and products are wanted by session, over swings that have them all. */
export interface CellsWanted {
  readonly name: string;
  /** A column of numbers, or 1 where a column of words says `is` and 0 where it says another. */
  readonly columns: readonly (string | { readonly column: string; readonly is: string })[];
  /** Another column after these: the product of the departures of two of them from the session's means. */
  readonly product?: readonly [number, number];
  /** The least and the most of each column by session as well. */
  readonly spans?: true;
  /** Only swings after the second of their session, or of unknown order. */
  readonly afterSecond?: true;
}

/** Means and products of columns by session; an entry for each session that has such swings, in the order of their rows. */
export interface CellSums {
  /** How many columns, the product of two of them included. */
  readonly columns: number;
  readonly of: CellsWanted['columns'];
  /** Place of the session in `SwingCells.sessions`. */
  readonly session: Int32Array;
  readonly counts: Float64Array;
  /** By column. */
  readonly means: readonly Float64Array[];
  /** Of the departures from the session's means, by pair of columns: (0, 0), (0, 1), ..., (1, 1), ... */
  readonly products: readonly Float64Array[];
  /** By column; none where `spans` was not asked for, as for the most. */
  readonly least: readonly Float64Array[];
  readonly most: readonly Float64Array[];
  /** Of the measurement SDs that are stated (the column's name and `_sd`): sum of squares, and how many; null without a column. */
  readonly errors: readonly ({ readonly squares: Float64Array; readonly stated: Float64Array } | null)[];
}

/** What a table of swings holds, before anything is summed by session. */
export interface SwingFacts {
  readonly rows: number;
  /** Of full swings: how many have a value. */
  readonly known: ReadonlyMap<string, number>;
  /** The least and the most of a column of numbers over all swings; NaN where it has none. */
  readonly ends: ReadonlyMap<string, readonly [number, number]>;
  /** The different values of a column of full swings as text, 50 at most. */
  readonly levels: ReadonlyMap<string, readonly string[]>;
}

/** The swings by sums over sessions, of sets of columns. */
export interface SwingCells extends SwingFacts {
  readonly sessions: readonly string[];
  /** By session: full swings, and others; full swings without the first two columns of the first set, by what is missing. */
  readonly tallies: {
    readonly full: Float64Array;
    readonly other: Float64Array;
    readonly withoutFirst: Float64Array;
    readonly withoutSecond: Float64Array;
    readonly withoutBoth: Float64Array;
  };
  readonly cells: ReadonlyMap<string, CellSums>;
}

/**
 * Reads a packed dataset of any size as `loadSummed` does, with the means, squares and products of sets of columns by session:
 * all that normal models of slopes inside and between golfers take from swings. No swing is held. What is judged is what
 * `loadSummed` judges, of every column of numbers.
 *
 * @param levelsOf columns whose different values are to be known before the sets are chosen
 * @param wanted the sets, from what there is; those whose columns are not there are left out by the one who asks
 * @example
 * await packDataset('my-roster', 'packed');
 * const set = { name: 'lean', columns: ['shaft_lean_impact_deg'] };
 * const read = await loadSummedCells('packed', ['club'], () => [set]);
 * // Of the demo's 1088 full swings 1071 have a lean
 * read.valid && read.value.sums.cells.get('lean')?.counts.reduce((sum, count) => sum + count, 0) // 1071
 */
export async function loadSummedCells(
  folder: string,
  levelsOf: readonly string[],
  wanted: (facts: SwingFacts) => readonly CellsWanted[],
  options: EngineOptions = {},
): Promise<Checked<{ readonly dataset: Dataset; readonly sums: SwingCells }>> {
  const loaded = await loadBesideSums(folder, options, async (engine, table) => {
    const source = new Source(table);
    const absent = ['session_id', 'task'].filter((column) => !source.has(column));
    if (absent.length > 0)
      return absent.map((column) => sumsFault(column, 'no such column', 'the columns of swings'));
    const facts = await factsOf(engine, source, levelsOf);
    if (!('known' in facts)) return facts;
    const sets = wanted(facts);
    const sessions = await sessionsOf(engine, source, sets[0]);
    const cells = new Map<string, CellSums>();
    for (const one of sets) cells.set(one.name, await cellsOf(engine, source, one, sessions.sessions.length));
    return { ...facts, ...sessions, cells };
  });
  if (!loaded.valid) return loaded;
  const { dataset, sums } = loaded.value;
  const problems = [...loaded.problems, ...judgeCells(sums, dataset.tables.sessions)];
  return problems.some(isError) ? { valid: false, problems } : { ...loaded, problems };
}

/** The packed swings as SQL. */
class Source {
  readonly #table: ParquetTable;
  constructor(table: ParquetTable) {
    this.#table = table;
  }
  get columns(): readonly string[] {
    return this.#table.columns;
  }
  has(column: string): boolean {
    return this.#table.columns.includes(column);
  }
  isNumber(column: string): boolean {
    return isNumeric(this.#table.types[this.#table.columns.indexOf(column)] ?? '');
  }
  name(column: string): string {
    return sqlName(this.#table.names[this.#table.columns.indexOf(column)]!);
  }
  /** The value as a double; yes and no as 1 and 0. */
  number(column: string): string {
    const type = this.#table.types[this.#table.columns.indexOf(column)]!;
    return `CAST(${type === 'BOOLEAN' ? `CAST(${this.name(column)} AS INTEGER)` : this.name(column)} AS DOUBLE)`;
  }
  text(column: string): string {
    return `CAST(${this.name(column)} AS VARCHAR)`;
  }
  /** Expressions over every row of every part; `at` numbers the rows. */
  rows(select: string): string {
    const parts = this.#table.parts.map(
      ({ numbered }, part) =>
        `SELECT ${select}, ${part} * 1e11 + CAST(file_row_number AS DOUBLE) AS row_at FROM ${numbered}`,
    );
    return `(${parts.join(' UNION ALL ')})`;
  }
  session(): string {
    return `COALESCE(${this.text('session_id')}, '')`;
  }
}

async function factsOf(
  engine: SqlEngine,
  source: Source,
  levelsOf: readonly string[],
): Promise<SwingFacts | readonly Problem[]> {
  const columns = source.columns.filter((column) => source.isNumber(column) || levelsOf.includes(column));
  const numbers = columns.filter((column) => source.isNumber(column));
  const counted = await engine.query(
    `SELECT task, COUNT(*) AS n${columns.map((_, k) => `, COUNT(c${k}) AS n${k}`).join('')}${numbers
      .map((column) => columns.indexOf(column))
      .map(
        (k) =>
          `, COUNT(*) FILTER (WHERE NOT isfinite(c${k})) AS e${k}, MIN(c${k}) AS l${k}, MAX(c${k}) AS h${k}`,
      )
      .join('')} FROM ${source.rows(
      [
        `${source.text('task')} AS task`,
        ...columns.map(
          (column, k) => `${source.isNumber(column) ? source.number(column) : source.text(column)} AS c${k}`,
        ),
      ].join(', '),
    )} GROUP BY task ORDER BY task`,
  );
  const tasks = counted.task as (string | null)[];
  const sum = (name: string) => Array.from(counted[name] as Float64Array).reduce((a, b) => a + b, 0);
  const problems = [
    ...taskFaults(tasks),
    ...numbers.flatMap((column) => {
      const endless = sum(`e${columns.indexOf(column)}`);
      return endless > 0
        ? [sumsFault(column, `${endless} values that are no finite number`, 'finite numbers')]
        : [];
    }),
  ];
  if (problems.length > 0) return problems;
  const full = tasks.indexOf('full');
  const known = new Map(
    columns.map((column, k) => [column, full < 0 ? 0 : Number(counted[`n${k}`]![full])] as const),
  );
  const levels = new Map<string, readonly string[]>();
  for (const column of levelsOf) {
    if (!source.has(column)) continue;
    const found = await engine.query(
      `SELECT DISTINCT v FROM ${source.rows(`${source.text(column)} AS v, ${source.text('task')} AS task`)} WHERE task = 'full' AND v IS NOT NULL ORDER BY v LIMIT 50`,
    );
    levels.set(column, Array.from(found.v ?? [], String));
  }
  const ends = new Map(
    numbers.map((column): [string, readonly [number, number]] => {
      const of = (name: string) => [...(counted[`${name}${columns.indexOf(column)}`] as Float64Array)];
      const there = (values: number[]) => values.filter((value) => !Number.isNaN(value));
      const [low, high] = [there(of('l')), there(of('h'))];
      const none = low.length === 0;
      return [column, none ? [Number.NaN, Number.NaN] : [Math.min(...low), Math.max(...high)]];
    }),
  );
  return { rows: sum('n'), known, ends, levels };
}

/** Makes the table of sessions `session_at` that the others are joined to. */
async function sessionsOf(engine: SqlEngine, source: Source, first: CellsWanted | undefined) {
  const names = (first?.columns ?? [])
    .slice(0, 2)
    .map((column) => (typeof column === 'string' ? column : ''));
  const value = (k: number) =>
    names[k] !== undefined && source.has(names[k]) ? source.name(names[k]) : 'NULL';
  await engine.connection.run(`CREATE TEMP TABLE session_at AS
    SELECT *, row_number() OVER (ORDER BY s) - 1 AS place FROM (SELECT s,
      COUNT(*) FILTER (WHERE task = 'full') AS full_swings, COUNT(*) FILTER (WHERE task <> 'full') AS other,
      COUNT(*) FILTER (WHERE task = 'full' AND a IS NULL AND b IS NOT NULL) AS no_a,
      COUNT(*) FILTER (WHERE task = 'full' AND b IS NULL AND a IS NOT NULL) AS no_b,
      COUNT(*) FILTER (WHERE task = 'full' AND a IS NULL AND b IS NULL) AS no_both
      FROM ${source.rows(`${source.session()} AS s, ${source.text('task')} AS task, ${value(0)} AS a, ${value(1)} AS b`)}
      GROUP BY s)`);
  const { s } = await engine.query('SELECT s FROM session_at ORDER BY place');
  const sessions = Array.from(s ?? [], String);
  const [full, other, withoutFirst, withoutSecond, withoutBoth] = await readDoubles(
    engine,
    ['full_swings', 'other', 'no_a', 'no_b', 'no_both'],
    'FROM session_at ORDER BY place',
    sessions.length,
  );
  return {
    sessions,
    tallies: {
      full: full!,
      other: other!,
      withoutFirst: withoutFirst!,
      withoutSecond: withoutSecond!,
      withoutBoth: withoutBoth!,
    },
  };
}

/** Running means and variances (Welford 1962) keep their digits far from zero. */
async function cellsOf(
  engine: SqlEngine,
  source: Source,
  { columns, product, spans, afterSecond }: CellsWanted,
  most: number,
): Promise<CellSums> {
  const sd = columns.map((column) =>
    typeof column === 'string' && source.has(`${column}_sd`) ? `${column}_sd` : null,
  );
  const select = [
    `${source.session()} AS s`,
    `${source.text('task')} AS task`,
    ...columns.map((column, k) =>
      typeof column === 'string'
        ? `${source.number(column)} AS x${k}`
        : `CASE ${source.text(column.column)} WHEN ${sqlText(column.is)} THEN 1.0::DOUBLE ELSE CASE WHEN ${source.name(column.column)} IS NOT NULL THEN 0.0::DOUBLE END END AS x${k}`,
    ),
    ...sd.flatMap((column, k) => (column === null ? [] : [`${source.number(column)} AS e${k}`])),
    ...(afterSecond ? [`${source.number('order_in_session')} AS rank`] : []),
  ];
  const complete = [
    "task = 'full'",
    ...columns.map((_, k) => `x${k} IS NOT NULL`),
    ...(afterSecond ? ['(rank IS NULL OR rank > 2)'] : []),
  ].join(' AND ');
  const rows = `SELECT * FROM ${source.rows(select.join(', '))} WHERE ${complete}`;
  const v = columns.length + (product === undefined ? 0 : 1);
  if (product !== undefined) {
    const [a, b] = product;
    await engine.connection.run(
      `CREATE OR REPLACE TEMP TABLE usual AS SELECT s, AVG(x${a}) AS a, AVG(x${b}) AS b FROM (${rows}) GROUP BY s`,
    );
  }
  const from =
    product === undefined
      ? rows
      : `SELECT r.*, (r.x${product[0]} - u.a) * (r.x${product[1]} - u.b) AS x${columns.length} FROM (${rows}) AS r JOIN usual AS u USING (s)`;
  const pairs = Array.from({ length: v }, (_, a) =>
    Array.from({ length: v - a }, (_, b) => [a, a + b] as const),
  ).flat();
  const each = Array.from({ length: v }, (_, k) => k);
  const spanned = spans ? each : [];
  const sums = [
    'CAST(COUNT(*) AS DOUBLE) AS n',
    'MIN(row_at) AS first_row',
    ...each.map((k) => `AVG(x${k}) AS m${k}`),
    ...pairs.map(
      ([a, b]) => `${a === b ? `VAR_POP(x${a})` : `COVAR_POP(x${a}, x${b})`} * COUNT(*) AS p${a}_${b}`,
    ),
    ...spanned.flatMap((k) => [`MIN(x${k}) AS l${k}`, `MAX(x${k}) AS h${k}`]),
    ...sd.flatMap((column, k) =>
      column === null ? [] : [`COALESCE(SUM(e${k} * e${k}), 0) AS q${k}`, `COUNT(e${k}) AS t${k}`],
    ),
  ];
  const names = [
    'place',
    'n',
    ...each.map((k) => `m${k}`),
    ...pairs.map(([a, b]) => `p${a}_${b}`),
    ...spanned.flatMap((k) => [`l${k}`, `h${k}`]),
    ...sd.flatMap((column, k) => (column === null ? [] : [`q${k}`, `t${k}`])),
  ];
  const read = await readDoubles(
    engine,
    names,
    `FROM (SELECT s, ${sums.join(', ')} FROM (${from}) GROUP BY s) JOIN session_at USING (s) ORDER BY first_row`,
    most,
  );
  const of = (name: string) => read[names.indexOf(name)]!;
  return {
    columns: v,
    of: columns,
    session: Int32Array.from(of('place')),
    counts: of('n'),
    means: each.map((k) => of(`m${k}`)),
    products: pairs.map(([a, b]) => of(`p${a}_${b}`)),
    least: spanned.map((k) => of(`l${k}`)),
    most: spanned.map((k) => of(`h${k}`)),
    errors: each.map((k) => (sd[k] == null ? null : { squares: of(`q${k}`), stated: of(`t${k}`) })),
  };
}
