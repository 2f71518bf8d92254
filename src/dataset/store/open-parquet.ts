import type { TableName } from '../generated/rows.ts';
import type { Problem } from '../problem.ts';
import { absentTable } from '../read/absent-table.ts';
import type { PackedPlace } from '../read/descriptor.ts';
import { cannotBeRead, faultOf, fileInside, hashOfFile, namedAndAbsent } from '../read/inside.ts';
import type { SqlEngine } from '../sums/sql-engine.ts';
import { sqlText } from '../sums/sql-text.ts';
import { engineProblem } from './cells.ts';
import { engineName } from './engine-file.ts';

/** A packed table that the engine can read. */
export interface ParquetTable {
  /** The names of its columns, as its CSV file had them. */
  readonly columns: readonly string[];
  /** The names under which the engine knows them, and the engine's types. */
  readonly names: readonly string[];
  readonly types: readonly string[];
  /** Each part as a relation, in order. */
  readonly parts: readonly (WholePart & {
    readonly sql: string;
    /** The same with the number of each row, from 0, as `file_row_number`. */
    readonly numbered: string;
  })[];
}

/** A file of a packed table that has the bytes the descriptor states. */
export interface WholePart {
  readonly path: string;
  readonly sha256: string;
  /** Where it is, links resolved. */
  readonly real: string;
}

export type Outcome<T> =
  | { readonly ok: true; readonly value: T }
  | { readonly ok: false; readonly problems: readonly Problem[] };

/**
 * Finds the files of a packed table. Every one must have the SHA-256 that the descriptor states before the engine sees it,
 * so that a file that was cut, altered or exchanged is a problem and never a wrong value. Where all of them are absent so is the
 * table, which may be no more than a warning (see `absentTable`); where some are, rows are lost.
 */
export async function wholeParts(
  root: string,
  table: TableName,
  place: PackedPlace,
): Promise<Outcome<readonly WholePart[]>> {
  const problems: Problem[] = [];
  const parts: WholePart[] = [];
  let absent = 0;
  for (const { path, sha256 } of place.parts) {
    const found = await fileInside(root, path);
    if (!('path' in found)) {
      if ('absent' in found) absent += 1;
      problems.push(faultOf(table, 'fault' in found ? found.fault : namedAndAbsent(path, table)));
      continue;
    }
    const file = await hashOfFile(found.path).catch(() => null);
    if (file === null) problems.push(faultOf(table, cannotBeRead(path)));
    else if (sha256 === null) problems.push(faultOf(table, noHash(path)));
    else if (file.sha256 !== sha256) problems.push(faultOf(table, altered(path)));
    else parts.push({ path, sha256, real: found.path });
  }
  if (absent === place.parts.length)
    return { ok: false, problems: [await absentTable(root, table, place.parts[0]!.path)] };
  return problems.length > 0 ? { ok: false, problems } : { ok: true, value: parts };
}

/** Opens a packed table for the engine. */
export async function openParquet(
  engine: SqlEngine,
  table: string,
  place: PackedPlace,
  whole: readonly WholePart[],
): Promise<Outcome<ParquetTable>> {
  const problems: Problem[] = [];
  const parts: ParquetTable['parts'][number][] = [];
  for (const part of whole) {
    const name = await engineName(engine, part.real, 'parquet');
    parts.push({
      ...part,
      sql: `read_parquet(${sqlText(name)})`,
      numbered: `read_parquet(${sqlText(name)}, file_row_number = true)`,
    });
  }
  let first: { names: readonly string[]; types: readonly string[] } | null = null;
  for (const { sql, path } of parts) {
    let described: Record<string, ArrayLike<unknown>>;
    try {
      described = await engine.query(`DESCRIBE SELECT * FROM ${sql}`);
    } catch (error) {
      problems.push(engineProblem(table, path, error));
      continue;
    }
    const names = Array.from(described.column_name ?? [], String);
    const types = Array.from(described.column_type ?? [], String);
    first ??= { names, types };
    if (JSON.stringify([names, types]) !== JSON.stringify([first.names, first.types]))
      problems.push(faultOf(table, otherColumns(path)));
  }
  if (problems.length > 0 || first === null) return { ok: false, problems };
  const columns = place.columns?.length === first.names.length ? place.columns : first.names;
  return { ok: true, value: { columns, ...first, parts } };
}

type Fault = Pick<Problem, 'kind' | 'found' | 'expected' | 'remedy'>;

function noHash(path: string): Fault {
  return {
    kind: 'bad-descriptor',
    found: `no SHA-256 of ${path}`,
    expected: '"hash": "sha256:..." of each Parquet file, by which a damaged file is told from a whole one',
    remedy: "State it in datapackage.json ('pack' does).",
  };
}

function altered(path: string): Fault {
  return {
    kind: 'unreadable-file',
    found: `${path} with other bytes than datapackage.json states (its SHA-256 differs)`,
    expected: 'the file as it was packed',
    remedy: 'Take it from a copy, or pack the dataset again.',
  };
}

function otherColumns(path: string): Fault {
  return {
    kind: 'unreadable-file',
    found: `${path} with other columns than the part before`,
    expected: 'the same columns, of the same types, in every part of a table',
    remedy: 'Pack the dataset again.',
  };
}
