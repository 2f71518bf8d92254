import { moments, sixCorrelations, type TwoWayMeanSquares, twoWayMeanSquares } from '../../stats/index.ts';
import type { CorrelationRow } from '../noise-tables.ts';
import type { Basis } from './basis.ts';

export interface SessionCorrelations {
  readonly rows: readonly CorrelationRow[];
  readonly squares: TwoWayMeanSquares;
  readonly golfers: number;
  readonly sessions: number;
}

/**
 * The six intraclass correlations of session means: golfers against their first, second, ... session in the order of dates.
 * So many sessions are taken as make most of the data: each golfer who has them gives that many. Null below three golfers
 * with two sessions.
 */
export function sessionCorrelations(
  { rows }: Pick<Basis, 'rows'>,
  level: number,
): SessionCorrelations | null {
  const golfers = new Map<string, Map<string, { date: string; values: number[] }>>();
  for (const { golfer, session, date, value } of rows) {
    const own = golfers.get(golfer) ?? new Map<string, { date: string; values: number[] }>();
    golfers.set(golfer, own);
    const entry = own.get(session) ?? { date, values: [] };
    entry.values.push(value);
    own.set(session, entry);
  }
  const means = [...golfers.values()].map((own) =>
    [...own]
      .sort(([a, x], [b, y]) => (x.date === y.date ? (a < b ? -1 : 1) : x.date < y.date ? -1 : 1))
      .map(([, { values }]) => moments(values)!.mean),
  );
  let longest = 0;
  for (const own of means) longest = Math.max(longest, own.length);
  let best: readonly number[][] = [];
  let most = 0;
  for (let k = 2; k <= longest; k++) {
    const table = means.filter((own) => own.length >= k).map((own) => own.slice(0, k));
    if (table.length >= 3 && table.length * (k - 1) > most) {
      best = table;
      most = table.length * (k - 1);
    }
  }
  if (best.length === 0) return null;
  const squares = twoWayMeanSquares(best);
  return {
    squares,
    golfers: squares.targets,
    sessions: squares.raters,
    rows: sixCorrelations(squares, level).map(
      ({ shroutFleiss, mcGrawWong, form, of, estimate, interval }) => ({
        name: mcGrawWong,
        otherName: shroutFleiss,
        form,
        of,
        estimate,
        interval,
      }),
    ),
  };
}
