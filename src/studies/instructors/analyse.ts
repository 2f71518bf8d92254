import { createStream, quantileOfSorted } from '../../numerics/index.ts';
import { chanceAhead, groupPosterior, groupRanks, groupSums, shrunkenEffects } from '../../stats/index.ts';
import type { InstructorPair, InstructorRow, ReliabilityRow } from '../instructors-tables.ts';
import type { Predictors } from './predictors.ts';
import type { Pupil } from './pupils.ts';

/** No group smaller than this is shown in a report meant for others. */
export const FEWEST_PUPILS = 5;
const DRAWS = 4000;
const PUPILS_TABLED = [5, 10, 20, 40, 80];
const RELIABLE = 0.7;

/** A number, the middle of its draws, with an interval that holds the level of them. */
export interface Spread {
  readonly value: number;
  readonly interval: readonly [number, number];
}

export interface InstructorsAnswer {
  /** How far two instructors drawn at random lie apart, on average: 2/sqrt(pi) times the SD between. */
  readonly difference: Spread;
  readonly betweenSd: Spread;
  readonly withinSd: Spread;
  /** Share of the variance of a pupil's result that is between instructors. */
  readonly share: Spread;
  /** Pupils that make differences between instructors' means this reliable. */
  readonly pupilsNeeded: Spread;
  readonly instructors: readonly InstructorRow[];
  readonly pairs: readonly InstructorPair[];
  readonly ranked: boolean;
  readonly noRanking: 'no-direction' | 'no-pair' | 'too-few' | null;
  readonly hidden: number;
  readonly hiddenPupils: number;
  readonly reliability: readonly ReliabilityRow[];
}

export interface InstructorsRequest {
  readonly pupils: readonly Pupil[];
  readonly predictors: Predictors;
  /** The result of a pupil: the gain, or another for comparison. */
  readonly result: (pupil: Pupil) => number;
  readonly level: number;
  readonly goodDirection: 1 | -1 | 0;
  readonly seed: number;
  readonly draws?: number;
}

/**
 * What a pupil gained. The start is taken off whole, and not with a slope from the data: pupils came to instructors by
 * how they play, not by lot, and with a start measured with noise such a slope leaves part of that in (van Breukelen
 * 2006, Journal of Clinical Epidemiology 59:920-925).
 */
export const gain = (pupil: Pupil): number => pupil.after - pupil.before;

/**
 * Pupils of an instructor share what the instructor adds; it is drawn, with both SDs and the adjustment, from their
 * joint distribution given the data. Everything said of ranks and pairs is counted in those draws. Null where the
 * data cannot carry it: fewer than three instructors, too few pupils, nothing that varies.
 */
export function analyseInstructors(request: InstructorsRequest): InstructorsAnswer | null {
  const { pupils, predictors, result, level, goodDirection, seed } = request;
  const sums = groupSums(
    pupils.map((pupil, i) => ({
      group: pupil.instructor,
      value: result(pupil),
      predictors: predictors.rows[i]!,
    })),
  );
  const drawn = groupPosterior(sums, createStream(seed, 'instructors'), request.draws ?? DRAWS);
  if (drawn === null) return null;
  const spread = (values: ArrayLike<number>) => spreadOf(values, level);
  const betweenSd = spread(drawn.between);
  const withinSd = spread(drawn.within);
  const shown = sums.flatMap(({ name, size }, column) => (size >= FEWEST_PUPILS ? [{ name, column }] : []));
  const effects = drawn.effects.map((draw) => Float64Array.from(shown, ({ column }) => draw[column]!));
  const sign = goodDirection === -1 ? -1 : 1;
  const certain = 1 - (1 - level) / 2;
  const pairs = shown.flatMap(({ name: first }, i) =>
    shown.slice(i + 1).map(({ name: second }, k): InstructorPair => {
      const chance = chanceAhead(effects, i, i + 1 + k, sign);
      return { first, second, chance, apart: chance >= certain || chance <= 1 - certain };
    }),
  );
  const noRanking =
    shown.length < 3
      ? 'too-few'
      : goodDirection === 0
        ? 'no-direction'
        : pairs.some(({ apart }) => apart)
          ? null
          : 'no-pair';
  const ranks = groupRanks(
    shown.map(({ name }) => name),
    effects,
    level,
    sign,
  );
  const points = shrunkenEffects(sums, { between: betweenSd.value, within: withinSd.value });
  const rows = ranks.map(({ group, effect, interval, rank, rankInterval, topThird }): InstructorRow => {
    const own = points.find((point) => point.group === group)!;
    return {
      instructor: group,
      pupils: own.size,
      raw: own.raw,
      effect,
      interval,
      reliability: own.reliability,
      rank: noRanking === null ? rank : null,
      rankInterval: noRanking === null ? rankInterval : null,
      chanceTopThird: noRanking === null ? topThird : null,
    };
  });
  const ratio = drawn.between.map((between, k) => (between / drawn.within[k]!) ** 2);
  return {
    difference: spread(drawn.between.map((value) => (2 / Math.sqrt(Math.PI)) * value)),
    betweenSd,
    withinSd,
    share: spread(ratio.map((value) => value / (1 + value))),
    pupilsNeeded: equalTails(
      ratio.map((value) => RELIABLE / (1 - RELIABLE) / value),
      level,
    ),
    instructors: rows.toSorted((a, b) =>
      noRanking === null ? sign * (b.effect - a.effect) : a.instructor < b.instructor ? -1 : 1,
    ),
    pairs,
    ranked: noRanking === null,
    noRanking,
    hidden: sums.length - shown.length,
    hiddenPupils: sums.reduce((sum, { size }) => sum + (size < FEWEST_PUPILS ? size : 0), 0),
    reliability: PUPILS_TABLED.map((number) => {
      const { value, interval } = spread(ratio.map((own) => (number * own) / (1 + number * own)));
      return { pupils: number, reliability: value, interval };
    }),
  };
}

/** An end this small a part of the other is no more than where the draws happen to begin: it is 0. */
const NOTHING = 0.01;

/**
 * The median of draws of a number that cannot be below 0, and the shortest interval that holds the level of them: unlike
 * one with equal tails it can reach 0, so that instructors who do not differ are not said to.
 */
export function spreadOf(values: ArrayLike<number>, level: number): Spread {
  const sorted = Float64Array.from(values).sort();
  const held = Math.ceil(level * sorted.length);
  let start = 0;
  for (let i = 1; i + held <= sorted.length; i++)
    if (sorted[i + held - 1]! - sorted[i]! < sorted[start + held - 1]! - sorted[start]!) start = i;
  const high = sorted[start + held - 1]!;
  const low = sorted[start]! <= NOTHING * high ? 0 : sorted[start]!;
  return { value: quantileOfSorted(sorted, 0.5), interval: [low, high] };
}

/** The median of draws, and the interval with as many of them below as above. */
function equalTails(values: ArrayLike<number>, level: number): Spread {
  const sorted = Float64Array.from(values).sort();
  const tail = (1 - level) / 2;
  return {
    value: quantileOfSorted(sorted, 0.5),
    interval: [quantileOfSorted(sorted, tail), quantileOfSorted(sorted, 1 - tail)],
  };
}
