/** The moments of one golfer by two clocks, in seconds. */
export interface TwoClocks {
  /** Of the sheet that is joined, in rising order. */
  readonly sheet: readonly number[];
  /** Of the dataset, in rising order. */
  readonly there: readonly number[];
}

export interface OffsetPairs {
  /** Seconds added to the times of the sheet. */
  readonly offset_s: number;
  /** Moments that then find a partner within the tolerance. */
  readonly pairs: number;
}

/** What two lists of moments tell of the difference between their clocks. */
export type ClockOffset =
  /** One difference pairs clearly more than any other; `next` is the best of the others. */
  | { readonly is: 'found'; readonly best: OffsetPairs; readonly next: OffsetPairs | null }
  /** Several do about equally well, so nothing tells them apart. */
  | { readonly is: 'open'; readonly fits: readonly OffsetPairs[] }
  | { readonly is: 'too few'; readonly pairs: number };

/** Zones of time reach fourteen hours from UTC: nothing further apart is taken for a difference of two clocks. */
const MOST_SECONDS = 14 * 3600;
/** Differences looked at: the first visits tell as much as all of them. */
const MOST_DIFFERENCES = 1_000_000;
const CANDIDATES = 12;
/** Fewer pairs tell nothing, and a rival with this share of the best one's pairs is as good (common practice, no source). */
const ENOUGH = 3;
const AS_GOOD = 0.8;

/**
 * Looks for the constant that, added to the sheet's times, brings most of them within `tolerance` seconds of a moment of
 * the dataset: every difference of two moments votes, and where votes lie closest the pairs are counted. Swings come at
 * uneven times, so the right constant stands out; evenly spaced ones leave it open, and this says so.
 *
 * @example
 * const found = clockOffset([{ sheet: [0, 31, 75, 90], there: [3600, 3631, 3675, 3690] }], 5);
 * found.is === 'found' && found.best // { offset_s: 3600, pairs: 4, ... }
 */
export function clockOffset(clocks: readonly TwoClocks[], tolerance: number): ClockOffset {
  const differences = differencesOf(clocks);
  const tried = peaks(differences, 2 * tolerance)
    .map((offset) => pairsAt(clocks, offset, tolerance))
    .sort((a, b) => b.pairs - a.pairs || Math.abs(a.offset_s) - Math.abs(b.offset_s));
  const [best, ...others] = tried;
  if (best === undefined || best.pairs < ENOUGH) return { is: 'too few', pairs: best?.pairs ?? 0 };
  const apart = others.filter(({ offset_s }) => Math.abs(offset_s - best.offset_s) > 2 * tolerance);
  const rivals = apart.filter(({ pairs }) => pairs >= AS_GOOD * best.pairs);
  return rivals.length > 0
    ? { is: 'open', fits: [best, ...rivals] }
    : { is: 'found', best, next: apart[0] ?? null };
}

/** How many moments find a partner of their own once `offset` is added; the earliest free one is the best choice. */
export function pairsAt(clocks: readonly TwoClocks[], offset: number, tolerance: number): OffsetPairs {
  const gaps: number[] = [];
  for (const { sheet, there } of clocks)
    for (let i = 0, j = 0; i < sheet.length && j < there.length; ) {
      const gap = there[j]! - sheet[i]! - offset;
      if (Math.abs(gap) <= tolerance) {
        gaps.push(gap);
        i += 1;
        j += 1;
      } else if (gap < 0) j += 1;
      else i += 1;
    }
  const middle = [...gaps].sort((a, b) => a - b)[gaps.length >> 1] ?? 0;
  return { offset_s: Math.round((offset + middle) * 10) / 10, pairs: gaps.length };
}

/** The differences dataset minus sheet that two clocks could have, in rising order. */
function differencesOf(clocks: readonly TwoClocks[]): Float64Array {
  const found: number[] = [];
  for (const { sheet, there } of clocks) {
    let from = 0;
    for (const moment of sheet) {
      while (from < there.length && there[from]! < moment - MOST_SECONDS) from += 1;
      for (let j = from; j < there.length && there[j]! <= moment + MOST_SECONDS; j += 1)
        found.push(there[j]! - moment);
      if (found.length > MOST_DIFFERENCES) return Float64Array.from(found).sort();
    }
  }
  return Float64Array.from(found).sort();
}

/** The middles of the stretches of `width` in which most values lie, most first, none of them overlapping. */
function peaks(values: Float64Array, width: number): number[] {
  const ends = new Int32Array(values.length);
  for (let from = 0, to = 0; from < values.length; from += 1) {
    while (to < values.length && values[to]! - values[from]! <= width) to += 1;
    ends[from] = to;
  }
  const middles: number[] = [];
  while (middles.length < CANDIDATES) {
    let best = -1;
    for (let from = 0; from < values.length; from += 1) {
      const middle = (values[from]! + values[ends[from]! - 1]!) / 2;
      if (middles.some((one) => Math.abs(one - middle) <= width)) continue;
      if (best < 0 || ends[from]! - from > ends[best]! - best) best = from;
    }
    if (best < 0) break;
    middles.push((values[best]! + values[ends[best]! - 1]!) / 2);
  }
  return middles;
}
