import type { TableName } from '../generated/rows.ts';
import type { Problem } from '../problem.ts';
import type { SqlEngine } from '../sums/sql-engine.ts';
import { engineProblem, openCells, structuralProblemsOf } from './cells.ts';
import { heldSelect, holdColumns } from './hold-columns.ts';
import type { CsvOrigin, WrittenPart } from './packed-descriptor.ts';
import { parquetNames } from './parquet-names.ts';
import { writeParquet } from './write-parquet.ts';

/** A CSV table in a folder, and where its Parquet file goes. */
export interface TableSource {
  readonly table: TableName;
  /** POSIX, relative to the folder. */
  readonly path: string;
  /** Where it is, links resolved. */
  readonly real: string;
  readonly packedPath: string;
  /** The folder for its parts where it has several; nothing else is there. */
  readonly partsFolder: string;
}

/** What became of one table. */
export interface PackedTable {
  readonly table: TableName;
  readonly rows: number;
  readonly files: readonly string[];
  /** Bytes of the Parquet files, and of the CSV file before. */
  readonly bytes: number;
  readonly csvBytes: number;
  /** Columns with cells that come back in another spelling of the same value (1.50 as 1.5), and how many. */
  readonly respelled: readonly CellCount[];
  /** Columns held as the text they are, because so many cells do not fit the column's type. */
  readonly asText: readonly CellCount[];
  /** Columns without a name and without an entry, left out. */
  readonly unnamed: number;
}

/** A column and how many of its cells are meant. */
export interface CellCount {
  readonly column: string;
  readonly cells: number;
}

export interface WrittenTable {
  readonly packed: PackedTable;
  readonly columns: readonly string[];
  readonly parts: readonly WrittenPart[];
  readonly csv: CsvOrigin;
}

/** Packs one table into the folder that is being made; a file that is no table is a problem. */
export async function packTable(
  engine: SqlEngine,
  source: TableSource,
  partial: string,
): Promise<WrittenTable | { readonly problems: readonly Problem[] }> {
  const { table, path, real, packedPath, partsFolder } = source;
  try {
    const opened = await openCells(engine, table, real, path);
    if (!opened.ok) return { problems: opened.problems };
    const { cells } = opened;
    const held = await holdColumns(engine, table, cells);
    if (held === null) return { problems: await structuralProblemsOf(table, real, path) };
    const columns = held.columns.map(({ name }) => name);
    const names = parquetNames(columns);
    const select = heldSelect(held.columns, cells.sql, names);
    const parts = await writeParquet(
      engine,
      select,
      partial,
      { path: packedPath, partsFolder },
      { rows: cells.rows, hasMinusZero: held.hasMinusZero },
    );
    const written = parts.reduce((sum, part) => sum + part.rows, 0);
    if (written !== cells.rows)
      throw new Error(`packTable: ${cells.rows} rows of ${path} became ${written}; nothing was kept`);
    const count = (of: 'respelled' | 'unfit') =>
      held.columns
        .filter((column) => column[of] > 0)
        .map((column) => ({ column: column.name, cells: column[of] }));
    const packed: PackedTable = {
      table,
      rows: written,
      files: parts.map((part) => part.path),
      bytes: parts.reduce((sum, part) => sum + part.bytes, 0),
      csvBytes: cells.file.bytes,
      respelled: count('respelled'),
      asText: count('unfit'),
      unnamed: held.unnamed,
    };
    const renamed = columns.some((name, c) => name !== names[c]);
    const { sha256, bytes } = cells.file;
    return { packed, columns, parts, csv: { path, sha256, bytes, columns: renamed ? columns : null } };
  } catch (error) {
    if (!isEngineError(error)) throw error;
    return { problems: [engineProblem(table, path, error)] };
  }
}

/** Whether the engine found fault with a file; a full disk and the like is not the file's. */
function isEngineError(error: unknown): boolean {
  return (
    error instanceof Error &&
    /^(Invalid|Conversion|Out of Range|Parser|Binder|Serialization) /.test(error.message)
  );
}
