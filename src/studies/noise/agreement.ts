import { limitsFromPairs, limitsFromReadings, moments, proportionalBias } from '../../stats/index.ts';
import type { Agreement } from '../noise-tables.ts';
import { count } from '../shared/words.ts';
import type { NoiseRow } from './noise-data.ts';

type Valued = NoiseRow & { readonly value: number };

interface Pair {
  readonly golfer: string;
  readonly first: number;
  readonly second: number;
  /** What both were read at: a pair of sessions. */
  readonly block: string;
}

/**
 * Two devices on the same golfers, the two with most swings; null where no two devices measured the same two golfers.
 * Where a golfer has sessions by both on one date, swings of the same number are set against each other: if both devices
 * saw the same swings these are pairs, and if they did not, it does no harm to the limits. Otherwise the golfers'
 * readings by each are compared without pairs.
 */
export function agreementOfDevices(rows: readonly Valued[], level: number): Agreement | null {
  const counts = new Map<string, number>();
  for (const { device } of rows) counts.set(device, (counts.get(device) ?? 0) + 1);
  const [a, b] = [...counts].sort(([x, n], [y, m]) => m - n || (x < y ? -1 : 1)).map(([device]) => device);
  if (a === undefined || b === undefined) return null;
  const [first, second] = [a, b].sort() as [string, string];
  const seconds = new Map(
    rows.filter((row) => row.device === second).map((row) => [placeOf(row), row] as const),
  );
  const pairs = rows.flatMap((row): Pair[] => {
    const other = row.device === first ? seconds.get(placeOf(row)) : undefined;
    return other === undefined
      ? []
      : [
          {
            golfer: row.golfer,
            first: row.value,
            second: other.value,
            block: JSON.stringify([row.session, other.session]),
          },
        ];
  });
  const names = { kind: 'devices', first, second } as const;
  const golfers = new Set(pairs.map(({ golfer }) => golfer)).size;
  if (golfers >= 2)
    return fromPairs(
      names,
      `${count(pairs.length, 'pair')} of swings with the same number in sessions of one golfer on one date`,
      pairs,
      level,
    );
  return fromReadings(names, rows, level);
}

const placeOf = ({ golfer, date, order }: NoiseRow) => JSON.stringify([golfer, date, order]);

/** Two metric columns on the same swings; null below two golfers. */
export function agreementOfDefinitions(
  rows: readonly Valued[],
  others: ReadonlyMap<string, number>,
  names: { readonly first: string; readonly second: string },
  level: number,
): Agreement | null {
  const pairs = rows.flatMap((row): Pair[] => {
    const other = others.get(row.swing);
    return other === undefined
      ? []
      : [{ golfer: row.golfer, first: row.value, second: other, block: row.session }];
  });
  return fromPairs(
    { kind: 'definitions', ...names },
    `${count(pairs.length, 'swing')} that have both numbers`,
    pairs,
    level,
  );
}

type Names = Pick<Agreement, 'kind' | 'first' | 'second'>;

function fromPairs(names: Names, pairing: string, pairs: readonly Pair[], level: number): Agreement | null {
  const limits = limitsFromPairs(
    pairs.map(({ golfer, block, first, second }) => ({
      unit: golfer,
      occasion: block,
      difference: first - second,
    })),
    { level },
  );
  if (limits === null) return null;
  const means = meansBy(pairs, ({ golfer }) => golfer);
  return {
    ...names,
    pairing,
    ...limitsOf(limits),
    level,
    ...slopeOf(means, level),
    together: togetherness(pairs),
  };
}

function fromReadings(names: Names, rows: readonly Valued[], level: number): Agreement | null {
  const readings = [...new Set(rows.map(({ golfer }) => golfer))].flatMap((unit) => {
    const of = (device: string) =>
      sessionMeans(rows.filter((row) => row.golfer === unit && row.device === device));
    const [first, second] = [of(names.first), of(names.second)];
    return first.length === 0 || second.length === 0 ? [] : [{ unit, first, second }];
  });
  const limits = limitsFromReadings(readings, { level });
  if (limits === null) return null;
  const means = readings.map(({ unit, first, second }) => ({
    golfer: unit,
    first: moments(first)!.mean,
    second: moments(second)!.mean,
  }));
  return {
    ...names,
    pairing: `session means of ${count(readings.length, 'golfer')} measured by both on different dates, so that day-to-day noise is in the differences`,
    ...limitsOf(limits),
    level,
    ...slopeOf(means, level),
    together: null,
  };
}

function sessionMeans(rows: readonly Valued[]): number[] {
  return [...new Set(rows.map(({ session }) => session))].map(
    (session) => moments(rows.filter((row) => row.session === session).map(({ value }) => value))!.mean,
  );
}

function limitsOf(limits: NonNullable<ReturnType<typeof limitsFromPairs>>) {
  return {
    golfers: limits.units,
    pairs: limits.pairs,
    mean: limits.mean.value,
    meanInterval: limits.mean.interval,
    sd: limits.sd,
    lower: limits.lower.value,
    lowerInterval: limits.lower.interval,
    upper: limits.upper.value,
    upperInterval: limits.upper.interval,
  };
}

interface GolferPair {
  readonly golfer: string;
  readonly first: number;
  readonly second: number;
}

function meansBy(pairs: readonly Pair[], key: (pair: Pair) => string): GolferPair[] {
  const sums = new Map<string, { first: number; second: number; n: number }>();
  for (const pair of pairs) {
    const own = sums.get(key(pair)) ?? { first: 0, second: 0, n: 0 };
    own.first += pair.first;
    own.second += pair.second;
    own.n += 1;
    sums.set(key(pair), own);
  }
  return [...sums].map(([golfer, { first, second, n }]) => ({
    golfer,
    first: first / n,
    second: second / n,
  }));
}

/** Fewest golfers from which a slope is looked for. */
const ENOUGH_GOLFERS = 5;

function slopeOf(means: readonly GolferPair[], level: number) {
  const bias =
    means.length < ENOUGH_GOLFERS
      ? null
      : proportionalBias(
          means.map(({ first, second }) => [first, second]),
          level,
        );
  return {
    slope: bias?.slope ?? null,
    slopeInterval: bias?.interval ?? null,
    points: means.map(({ golfer, first, second }) => ({
      golfer,
      mean: (first + second) / 2,
      difference: first - second,
    })),
  };
}

/** Correlation of both readings within their block; null without spread. */
function togetherness(pairs: readonly Pair[]): number | null {
  const middles = new Map(meansBy(pairs, ({ block }) => block).map((mean) => [mean.golfer, mean]));
  let [xx, yy, xy] = [0, 0, 0];
  for (const { first, second, block } of pairs) {
    const middle = middles.get(block)!;
    const [x, y] = [first - middle.first, second - middle.second];
    xx += x * x;
    yy += y * y;
    xy += x * y;
  }
  return xx > 0 && yy > 0 ? xy / Math.sqrt(xx * yy) : null;
}
