/** Mean squares of a complete table of targets (rows) by raters, devices or occasions (columns). */
export interface TwoWayMeanSquares {
  readonly targets: number;
  readonly raters: number;
  /** Between targets, with targets - 1 degrees of freedom. */
  readonly between: number;
  /** Within targets, with targets (raters - 1) degrees of freedom. */
  readonly within: number;
  /** Between raters, with raters - 1 degrees of freedom. */
  readonly raterMean: number;
  /** Left over, with (targets - 1)(raters - 1) degrees of freedom. */
  readonly error: number;
}

/**
 * Mean squares of a two-way table with one value in each cell.
 *
 * @param table one row for each target, one number for each rater
 * @throws Error for fewer than two targets or raters, rows of unequal length, or a value that is not finite
 * @example
 * // Shrout and Fleiss 1979, table 3
 * twoWayMeanSquares([[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]])
 * // { targets: 6, raters: 4, between: 11.24, within: 6.26, raterMean: 32.49, error: 1.02 }
 */
export function twoWayMeanSquares(table: readonly (readonly number[])[]): TwoWayMeanSquares {
  const targets = table.length;
  const raters = table[0]?.length ?? 0;
  if (targets < 2 || raters < 2)
    throw new Error('twoWayMeanSquares: needs two targets and two raters or more');
  if (table.some((row) => row.length !== raters || !row.every(Number.isFinite)))
    throw new Error('twoWayMeanSquares: every target needs one finite number from every rater');
  const rowMeans = table.map((row) => row.reduce((sum, value) => sum + value, 0) / raters);
  const columnMeans = Array.from(
    { length: raters },
    (_, j) => table.reduce((sum, row) => sum + row[j]!, 0) / targets,
  );
  const mean = rowMeans.reduce((sum, value) => sum + value, 0) / targets;
  const squares = (values: readonly number[]) => values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  let within = 0;
  let left = 0;
  table.forEach((row, i) => {
    row.forEach((value, j) => {
      within += (value - rowMeans[i]!) ** 2;
      left += (value - rowMeans[i]! - columnMeans[j]! + mean) ** 2;
    });
  });
  return {
    targets,
    raters,
    between: (raters * squares(rowMeans)) / (targets - 1),
    within: within / (targets * (raters - 1)),
    raterMean: (targets * squares(columnMeans)) / (raters - 1),
    error: left / ((targets - 1) * (raters - 1)),
  };
}
