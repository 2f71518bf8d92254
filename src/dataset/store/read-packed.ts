import type { InputFile } from '../dataset.ts';
import type { TableName } from '../generated/rows.ts';
import type { Problem } from '../problem.ts';
import type { CellValue } from '../read/cell-readers.ts';
import type { PackedPlace } from '../read/descriptor.ts';
import { faultOf } from '../read/inside.ts';
import { type ReadTable, TableReader } from '../read/table-reader.ts';
import { type FieldSchema, tableSchema } from '../schema.ts';
import { type SqlEngine, withSqlEngine } from '../sums/sql-engine.ts';
import { sqlName } from '../sums/sql-text.ts';
import { engineProblem } from './cells.ts';
import { type Outcome, openParquet, type ParquetTable, type WholePart, wholeParts } from './open-parquet.ts';

export interface ReadPacked {
  readonly tables: readonly ReadTable[];
  readonly files: readonly InputFile[];
  readonly problems: readonly Problem[];
}

/** Reads the packed tables of a folder into the typed columns that the CSV tables give, a piece at a time. */
export async function readPackedTables(
  root: string,
  packed: ReadonlyMap<TableName, PackedPlace>,
): Promise<ReadPacked> {
  const [tables, files, problems]: [ReadTable[], InputFile[], Problem[]] = [[], [], []];
  const whole = new Map<TableName, readonly WholePart[]>();
  for (const [name, place] of packed) {
    const parts = await wholeParts(root, name, place);
    if (parts.ok) whole.set(name, parts.value);
    else problems.push(...parts.problems);
  }
  if (whole.size > 0)
    await withSqlEngine({}, async (engine) => {
      for (const [name, parts] of whole) {
        files.push(...parts.map(({ path, sha256 }) => ({ file: path, sha256 })));
        const opened = await openParquet(engine, name, packed.get(name)!, parts);
        const read = opened.ok ? await readTable(engine, name, opened.value) : opened;
        if (read.ok) tables.push(read.value);
        else problems.push(...read.problems);
      }
    });
  return { tables, files, problems };
}

async function readTable(
  engine: SqlEngine,
  name: TableName,
  table: ParquetTable,
): Promise<Outcome<ReadTable>> {
  const fields = new Map(tableSchema(name).fields.map((field) => [field.name, field]));
  const wanted = table.columns.map((column, c) =>
    readingSql(table.names[c]!, table.types[c]!, fields.get(column)),
  );
  const faults = wanted.flatMap((sql, c) =>
    sql === null ? [typeFault(name, table.columns[c]!, table.types[c]!)] : [],
  );
  if (faults.length > 0) return { ok: false, problems: faults };
  const reader = new TableReader(name, table.columns);
  const lines = new LineCounter(table.columns);
  for (const { sql, path } of table.parts) {
    try {
      const result = await engine.connection.stream(`SELECT ${wanted.join(', ')} FROM ${sql}`);
      for (;;) {
        const chunk = await result.fetchChunk();
        if (chunk === null || chunk.rowCount === 0) break;
        const cells = table.columns.map((_, c) => chunk.getColumnValues(c) as CellValue[]);
        reader.pushColumns(cells, lines.next(cells, chunk.rowCount));
      }
    } catch (error) {
      return { ok: false, problems: [engineProblem(name, path, error)] };
    }
  }
  return { ok: true, value: reader.finish() };
}

const NUMERIC = /^(U?(TINY|SMALL|BIG|HUGE)INT|U?INTEGER|FLOAT|DOUBLE|DECIMAL\(.*)$/;

/** How the engine hands over a column; null where its type cannot be what the field asks for. */
function readingSql(name: string, type: string, field: FieldSchema | undefined): string | null {
  const column = sqlName(name);
  if (type === 'VARCHAR') return column;
  // An id that was held as a number may have lost its leading zeros, or its digits.
  if (field?.type === 'string') return null;
  if (field?.type === 'number' || field?.type === 'integer')
    return NUMERIC.test(type) ? `CAST(${column} AS DOUBLE)` : null;
  if (field?.type === 'boolean' && type === 'BOOLEAN') return column;
  return `CAST(${column} AS VARCHAR)`;
}

function typeFault(table: TableName, column: string, type: string): Problem {
  return {
    ...faultOf(table, {
      kind: 'unreadable-file',
      found: `${column} held as ${type}`,
      expected: 'text as text and numbers as numbers',
      remedy: 'Make the Parquet file again with the right type: an id held as a number may have lost digits.',
    }),
    column,
  };
}

/** The line on which each row starts in the CSV file of the same table: a line break in a cell counts. */
class LineCounter {
  #line: number;

  constructor(header: readonly string[]) {
    this.#line = 2 + header.reduce((sum, name) => sum + lineBreaks(name), 0);
  }

  next(columns: readonly (readonly CellValue[])[], rows: number): Int32Array {
    const lines = new Int32Array(rows).fill(1);
    for (const cells of columns)
      for (let row = 0; row < rows; row += 1) {
        const cell = cells[row];
        if (typeof cell === 'string') lines[row]! += lineBreaks(cell);
      }
    for (let row = 0; row < rows; row += 1) {
      const next = this.#line + lines[row]!;
      lines[row] = this.#line;
      this.#line = next;
    }
    return lines;
  }
}

function lineBreaks(text: string): number {
  return text.includes('\n') || text.includes('\r') ? text.split(/\r\n?|\n/).length - 1 : 0;
}
