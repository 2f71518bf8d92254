import type { SqlEngine } from '../sums/sql-engine.ts';

/**
 * Columns of numbers of a query straight into arrays of doubles, piece by piece: nothing else is held, however many rows
 * there are. Missing become NaN.
 *
 * @param from what follows the list of columns
 * @param most no more rows than this come
 */
export async function readDoubles(
  engine: SqlEngine,
  columns: readonly string[],
  from: string,
  most: number,
): Promise<Float64Array[]> {
  const out = columns.map(() => new Float64Array(most));
  const select = columns.map((column) => `CAST(${column} AS DOUBLE)`).join(', ');
  const result = await engine.connection.stream(`SELECT ${select} ${from}`);
  let rows = 0;
  for (;;) {
    const chunk = await result.fetchChunk();
    if (chunk === null || chunk.rowCount === 0) break;
    for (let c = 0; c < columns.length; c++) {
      const into = out[c]!;
      const values = chunk.getColumnValues(c);
      for (let i = 0; i < chunk.rowCount; i++) {
        const value = values[i];
        into[rows + i] = typeof value === 'number' ? value : Number.NaN;
      }
    }
    rows += chunk.rowCount;
  }
  return rows === most ? out : out.map((values) => values.slice(0, rows));
}
