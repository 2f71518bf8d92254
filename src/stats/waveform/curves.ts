/** Curves on one grid, a row for each independent unit (a golfer, never a swing), row after row. */
export interface Curves {
  readonly rows: number;
  readonly nodes: number;
  /** rows x nodes. */
  readonly values: Float64Array;
}

/**
 * Curves from lists of equal length.
 *
 * @throws RangeError when there is no row, a row has no node, rows differ in length, or a value is not finite
 * @example curvesFrom([[1, 2], [3, 4]]).nodes // 2
 */
export function curvesFrom(rows: readonly ArrayLike<number>[]): Curves {
  const nodes = rows[0]?.length ?? 0;
  if (nodes === 0) throw new RangeError('curvesFrom: give at least one curve with at least one value');
  const values = new Float64Array(rows.length * nodes);
  rows.forEach((row, j) => {
    if (row.length !== nodes)
      throw new RangeError(
        `curvesFrom: curve ${j} has ${row.length} values, the first ${nodes}; resample them`,
      );
    for (let q = 0; q < nodes; q++) {
      const value = row[q]!;
      if (!Number.isFinite(value))
        throw new RangeError(`curvesFrom: curve ${j} is not finite at node ${q}; leave it out or fill it`);
      values[j * nodes + q] = value;
    }
  });
  return { rows: rows.length, nodes, values };
}

/**
 * Second minus first, row by row: a paired comparison is a one-sample question about these.
 *
 * @throws RangeError when the two differ in shape
 * @example pairedDifferences(curvesFrom([[1, 2]]), curvesFrom([[4, 6]])).values // [3, 4]
 */
export function pairedDifferences(first: Curves, second: Curves): Curves {
  if (first.rows !== second.rows || first.nodes !== second.nodes)
    throw new RangeError('pairedDifferences: both need the same rows in the same order on the same grid');
  return { ...first, values: second.values.map((value, i) => value - first.values[i]!) };
}
