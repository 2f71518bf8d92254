import { joinedSums, type ValueSums } from '../../../stats/index.ts';

/** The swings of one golfer in one cell. */
export interface GolferCell extends ValueSums {
  readonly sessions: number;
}

/** Swings of one session in one cell. */
export interface MeanRow extends ValueSums {
  readonly golfer: string;
  readonly session: string;
  readonly cell: string;
}

/** By golfer, then by cell. The mean is over swings, so a session with more of them counts for more. */
export function golferMeans(rows: readonly MeanRow[]): ReadonlyMap<string, ReadonlyMap<string, GolferCell>> {
  const gathered = new Map<string, Map<string, MeanRow[]>>();
  for (const row of rows) {
    const cells = gathered.get(row.golfer) ?? new Map<string, MeanRow[]>();
    const own = cells.get(row.cell);
    if (own === undefined) cells.set(row.cell, [row]);
    else own.push(row);
    gathered.set(row.golfer, cells);
  }
  return new Map(
    [...gathered].map(([golfer, cells]) => [
      golfer,
      new Map(
        [...cells].map(([cell, own]) => [
          cell,
          { ...joinedSums(own), sessions: new Set(own.map(({ session }) => session)).size },
        ]),
      ),
    ]),
  );
}
