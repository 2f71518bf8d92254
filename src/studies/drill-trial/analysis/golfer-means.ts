import { joinedSums, type ValueSums } from '../../../stats/index.ts';

/** The swings of one golfer in one cell. */
export interface GolferCell extends ValueSums {
  readonly sessions: number;
}

/** Swings of one session in one cell. */
export interface MeanRow extends ValueSums {
  readonly golfer: string;
  readonly session: string;
}

/**
 * By golfer, then by cell. The mean is over swings, so a session with more of them counts for more. Of a hundred thousand
 * golfers each map is made once and no row is copied.
 */
export function golferMeans<Row extends MeanRow>(
  rows: readonly Row[],
  cellOf: (row: Row) => string,
): ReadonlyMap<string, ReadonlyMap<string, GolferCell>> {
  const golfers = new Map<string, Map<string, Row[] | GolferCell>>();
  for (const row of rows) {
    let cells = golfers.get(row.golfer);
    if (cells === undefined) {
      cells = new Map();
      golfers.set(row.golfer, cells);
    }
    const cell = cellOf(row);
    const own = cells.get(cell);
    if (Array.isArray(own)) own.push(row);
    else cells.set(cell, [row]);
  }
  for (const cells of golfers.values())
    for (const [cell, own] of cells)
      if (Array.isArray(own))
        cells.set(cell, { ...joinedSums(own), sessions: new Set(own.map(({ session }) => session)).size });
  return golfers as ReadonlyMap<string, ReadonlyMap<string, GolferCell>>;
}
