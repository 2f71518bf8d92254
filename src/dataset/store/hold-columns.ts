import { availableParallelism } from 'node:os';
import type { TableName } from '../generated/rows.ts';
import type { Problem } from '../problem.ts';
import { checkHeader } from '../read/header.ts';
import { tableSchema } from '../schema.ts';
import type { SqlEngine } from '../sums/sql-engine.ts';
import { sqlName } from '../sums/sql-text.ts';
import type { Cells } from './cells.ts';
import { CELL, type Holding, holdingOf, holdingSql } from './holding.ts';

/** A column as it will be held, and what that does to how its cells are written. */
export interface HeldColumn {
  readonly name: string;
  readonly holding: Holding;
  /** The values as SQL over the cells. */
  readonly sql: string;
  /** Cells that the column's own type cannot hold; where there is one, all are held as the text they are. */
  readonly unfit: number;
  /** Cells that come back in another spelling of the same value. */
  readonly respelled: number;
}

export interface HeldColumns {
  readonly columns: readonly HeldColumn[];
  /** Columns without a name and without an entry, which are not held. */
  readonly unnamed: number;
  /** Whether a number held as such is -0. */
  readonly hasMinusZero: boolean;
}

/**
 * Decides how each column of a table is held: by the type of its field where every cell can be, else as text, so that no
 * value changes. Null where the header makes the file no table: a name twice or reserved, entries without a name above.
 */
export async function holdColumns(
  engine: SqlEngine,
  table: TableName,
  { header, sql }: Cells,
): Promise<HeldColumns | null> {
  const fields = new Map(tableSchema(table).fields.map((field) => [field.name, field]));
  const { columns: kept, problems } = checkHeader(table, header);
  if (problems.some(isStructural)) return null;
  const wanted = header.map((name, c) => {
    const field = fields.get(name);
    const holding = holdingOf(field);
    return { name, cell: `c${c}`, holding, ...holdingSql(holding, `c${c}`, field) };
  });
  const unnamed = wanted.filter((_, c) => kept[c] === null);
  const named = wanted.filter((_, c) => kept[c] !== null);
  const typed = named.filter((column) => column.verdict !== null);
  const verdicts = [
    ...typed.map(({ cell, verdict }) => `${verdict} AS ${cell}`),
    ...unnamed.map(({ cell }) => cell),
  ];
  const counts = [
    ...typed.flatMap(({ cell }) =>
      (['unfit', 'respelled', 'doubtful', 'minusZero', 'respelledMinusZero'] as const).map(
        (is) => `count_if(${cell} = ${CELL[is]}) AS ${is}_${cell}`,
      ),
    ),
    ...unnamed.map(({ cell }) => `count(${cell}) AS entries_${cell}`),
  ];
  const found =
    counts.length === 0
      ? {}
      : await onEveryCore(
          engine,
          `SELECT ${counts.join(', ')} FROM (SELECT ${verdicts.join(', ')} FROM ${sql}) AS v`,
        );
  const count = (name: string) => Number(found[name]?.[0] ?? 0);
  if (unnamed.some(({ cell }) => count(`entries_${cell}`) > 0)) return null;
  const columns: HeldColumn[] = [];
  let hasMinusZero = false;
  for (const { name, cell, holding, value, verdict } of named) {
    const unfit = count(`unfit_${cell}`);
    if (holding === 'text' || unfit > 0) {
      columns.push({ name, holding: 'text', sql: cell, unfit, respelled: 0 });
      continue;
    }
    const judged =
      count(`doubtful_${cell}`) === 0
        ? 0
        : await judgedHere(engine, `SELECT ${cell} AS cell FROM ${sql} WHERE ${verdict} = ${CELL.doubtful}`);
    const respelledZeros = count(`respelledMinusZero_${cell}`);
    const respelled = count(`respelled_${cell}`) + respelledZeros + judged;
    hasMinusZero ||= respelledZeros + count(`minusZero_${cell}`) > 0;
    columns.push({ name, holding, sql: value, unfit: 0, respelled });
  }
  return { columns, unnamed: unnamed.length, hasMinusZero };
}

function isStructural({ kind, severity }: Problem): boolean {
  return kind === 'duplicate-column' || (kind === 'unknown-column' && severity === 'error');
}

/** Counts come out the same in whatever order rows are counted; only they may use every core. */
async function onEveryCore(engine: SqlEngine, sql: string): ReturnType<SqlEngine['query']> {
  const { threads } = await engine.query(`SELECT current_setting('threads') AS threads`);
  await engine.connection.run(`SET threads = ${availableParallelism()}`);
  try {
    return await engine.query(sql);
  } finally {
    await engine.connection.run(`SET threads = ${Number(threads![0])}`);
  }
}

async function judgedHere(engine: SqlEngine, sql: string): Promise<number> {
  const { cell } = await engine.query(sql);
  return (cell as string[]).filter((text) => String(Number(text)) !== text).length;
}

/** The values of the held columns, each under its name (or `names`), as one SELECT. */
export function heldSelect(
  columns: readonly HeldColumn[],
  source: string,
  names?: readonly string[],
): string {
  const values = columns.map(({ name, sql }, c) => `${sql} AS ${sqlName(names?.[c] ?? name)}`);
  return `SELECT ${values.join(', ')} FROM ${source}`;
}
