import { moments } from '../../../stats/index.ts';

/** Values of one golfer in one cell. */
export interface GolferCell {
  readonly values: readonly number[];
  readonly mean: number;
  readonly sessions: number;
}

export interface MeanRow {
  readonly golfer: string;
  readonly session: string;
  readonly cell: string;
  readonly value: number;
}

/** By golfer, then by cell. The mean is over swings, so a session with more of them counts for more. */
export function golferMeans(rows: readonly MeanRow[]): ReadonlyMap<string, ReadonlyMap<string, GolferCell>> {
  const gathered = new Map<string, Map<string, { values: number[]; sessions: Set<string> }>>();
  for (const { golfer, session, cell, value } of rows) {
    const cells = gathered.get(golfer) ?? new Map<string, { values: number[]; sessions: Set<string> }>();
    const entry = cells.get(cell) ?? { values: [], sessions: new Set<string>() };
    entry.values.push(value);
    entry.sessions.add(session);
    cells.set(cell, entry);
    gathered.set(golfer, cells);
  }
  return new Map(
    [...gathered].map(([golfer, cells]) => [
      golfer,
      new Map(
        [...cells].map(([cell, { values, sessions }]) => [
          cell,
          { values, mean: moments(values)!.mean, sessions: sessions.size },
        ]),
      ),
    ]),
  );
}
