import { lowerMedian } from '../../numerics/index.ts';
import { type MeanSquareTerm, type VarianceSum, varianceSum } from './variance-sum.ts';

/** A value with the unit (a golfer) it belongs to and the occasion (a session) on which it was taken. */
export interface NestedValue {
  readonly unit: string;
  readonly occasion: string;
  readonly value: number;
}

/** A mean square with its degrees of freedom. */
export interface MeanSquare {
  readonly value: number;
  readonly degreesOfFreedom: number;
}

/** Variances of values nested in occasions nested in units, from unweighted means. */
export interface NestedNoise {
  readonly units: number;
  readonly occasions: number;
  readonly values: number;
  /** Units with two occasions or more: they alone tell how occasions differ. */
  readonly repeatedUnits: number;
  /** Occasions of a unit, and values on an occasion, in the middle. */
  readonly usualOccasions: number;
  readonly usualValues: number;
  /** Values around the mean of their occasion, pooled; null where no occasion has two values. */
  readonly value: MeanSquare | null;
  /** Means of occasions around the mean of their unit, pooled; null where no unit has two occasions. */
  readonly occasion: MeanSquare | null;
  /** Means of units (of their occasions) around the mean of all; null below two units. */
  readonly unit: MeanSquare | null;
  /** Mean of the means of units. */
  readonly unitMean: number;
  /** Average of 1 / values over the occasions behind the mean square of occasions. */
  readonly perValue: number;
  /** Share of the occasion variance, and of the value variance, that a unit's mean holds on average. */
  readonly unitOccasionShare: number;
  readonly unitValueShare: number;
}

/**
 * Mean squares of values in occasions in units by unweighted means, so that an occasion counts once however many values
 * it has. Their expectations: value: sv2; occasion: so2 + perValue sv2; unit: su2 + unitOccasionShare so2 +
 * unitValueShare sv2. In balanced data they are the usual analysis of variance divided by the numbers of values, and the
 * variances from them (`varianceOf`) equal restricted maximum likelihood wherever all are positive.
 *
 * An effect that all units share (`shared`: a label for each occasion, such as the phase) is taken out of the occasion
 * means first, by least squares, at the cost of its degrees of freedom.
 *
 * Source: Burdick and Graybill 1992, Confidence Intervals on Variance Components, ch. 5 (unweighted sums of squares).
 *
 * @throws Error for a value that is not finite
 * @example nestedNoise([{ unit: 'a', occasion: '1', value: 3 }, { unit: 'a', occasion: '1', value: 5 }]).value // { value: 2, degreesOfFreedom: 1 }
 */
export function nestedNoise(rows: Iterable<NestedValue>, shared?: (occasion: string) => string): NestedNoise {
  const units = new Map<string, Map<string, number[]>>();
  for (const { unit, occasion, value } of rows) {
    if (!Number.isFinite(value)) throw new Error('nestedNoise: every value must be a finite number');
    const own = units.get(unit) ?? new Map<string, number[]>();
    units.set(unit, own);
    const values = own.get(occasion);
    if (values === undefined) own.set(occasion, [value]);
    else values.push(value);
  }
  let squares = 0;
  let df = 0;
  const means: OccasionMean[] = [];
  const counts: number[] = [];
  let values = 0;
  let u = 0;
  for (const own of units.values()) {
    for (const [occasion, taken] of own) {
      const mean = taken.reduce((sum, value) => sum + value, 0) / taken.length;
      for (const value of taken) squares += (value - mean) ** 2;
      df += taken.length - 1;
      means.push({ unit: u, label: shared?.(occasion) ?? '', mean, share: 1 / taken.length });
      counts.push(taken.length);
      values += taken.length;
    }
    u += 1;
  }
  const occasionsOf = new Array<number>(units.size).fill(0);
  const sharesOf = new Array<number>(units.size).fill(0);
  for (const { unit, share } of means) {
    occasionsOf[unit] = occasionsOf[unit]! + 1;
    sharesOf[unit] = sharesOf[unit]! + share;
  }
  const repeated = occasionsOf.filter((count) => count > 1).length;
  const { residualSquares, residualDf, unitMeans } = withoutShared(means, units.size, occasionsOf);
  let perValue = 0;
  let weight = 0;
  let unitOccasionShare = 0;
  let unitValueShare = 0;
  occasionsOf.forEach((r, i) => {
    perValue += (r - 1) * (sharesOf[i]! / r);
    weight += r - 1;
    unitOccasionShare += 1 / r / units.size;
    unitValueShare += sharesOf[i]! / r ** 2 / units.size;
  });
  return {
    units: units.size,
    occasions: means.length,
    values,
    repeatedUnits: repeated,
    usualOccasions: lowerMedian(occasionsOf) ?? 0,
    usualValues: lowerMedian(counts) ?? 0,
    value: df > 0 ? { value: squares / df, degreesOfFreedom: df } : null,
    occasion: residualDf > 0 ? { value: residualSquares / residualDf, degreesOfFreedom: residualDf } : null,
    unit: unitMeans.length > 1 ? meanSquareOf(unitMeans) : null,
    unitMean: unitMeans.reduce((sum, mean) => sum + mean, 0) / units.size,
    perValue: weight > 0 ? perValue / weight : 0,
    unitOccasionShare,
    unitValueShare,
  };
}

interface OccasionMean {
  readonly unit: number;
  readonly label: string;
  readonly mean: number;
  readonly share: number;
}

/** What is left of the occasion means when units and shared labels are taken out, by turns until nothing moves. */
function withoutShared(means: readonly OccasionMean[], units: number, occasionsOf: readonly number[]) {
  const labels = [...new Set(means.map(({ label }) => label))];
  const place = new Map(labels.map((label, i) => [label, i]));
  const effects = new Float64Array(labels.length);
  const levels = new Float64Array(units);
  // Units with one occasion have no residual, and say nothing of the labels.
  const telling = means.filter(({ unit }) => occasionsOf[unit]! > 1);
  const count = new Float64Array(labels.length);
  for (const { label } of telling) count[place.get(label)!] = count[place.get(label)!]! + 1;
  for (let round = 0; round < 500; round++) {
    levels.fill(0);
    for (const { unit, label, mean } of means)
      levels[unit] = levels[unit]! + (mean - effects[place.get(label)!]!) / occasionsOf[unit]!;
    if (labels.length === 1) break;
    const next = new Float64Array(labels.length);
    for (const { unit, label, mean } of telling) {
      const l = place.get(label)!;
      next[l] = next[l]! + (mean - levels[unit]!) / count[l]!;
    }
    const centre = next.reduce((sum, value) => sum + value, 0) / labels.length;
    let moved = 0;
    let size = 0;
    for (let l = 0; l < labels.length; l++) {
      moved = Math.max(moved, Math.abs(next[l]! - centre - effects[l]!));
      effects[l] = next[l]! - centre;
      size = Math.max(size, Math.abs(effects[l]!));
    }
    if (moved <= 1e-13 * (1 + size)) break;
  }
  let residualSquares = 0;
  for (const { unit, label, mean } of telling)
    residualSquares += (mean - levels[unit]! - effects[place.get(label)!]!) ** 2;
  const tellingUnits = occasionsOf.filter((r) => r > 1).length;
  const tellingLabels = new Set(telling.map(({ label }) => label)).size;
  return {
    residualSquares,
    residualDf: telling.length - tellingUnits - Math.max(0, tellingLabels - 1),
    unitMeans: [...levels],
  };
}

function meanSquareOf(values: readonly number[]): MeanSquare {
  const mean = values.reduce((sum, value) => sum + value, 0) / values.length;
  const squares = values.reduce((sum, value) => sum + (value - mean) ** 2, 0);
  return { value: squares / (values.length - 1), degreesOfFreedom: values.length - 1 };
}

/** How much of the variance between units, occasions and values a sum of them holds. */
export interface NoiseWeights {
  readonly unit: number;
  readonly occasion: number;
  readonly value: number;
}

/**
 * A weighted sum of the three variances with its modified large sample interval; null where the data cannot tell one that
 * has a weight. The three variances themselves are those with weights of 1, 0, 0 and so on.
 *
 * @example
 * // Two golfers on two days, two swings each: variances 7 between days and 2 between swings
 * const swings = [0, 2, 4, 6, 10, 12, 14, 16].map((value, i) => ({ unit: 'ab'[i >> 2]!, occasion: `${i >> 1}`, value }));
 * varianceOf(nestedNoise(swings), { unit: 0, occasion: 1, value: 1 / 8 }, 0.95)?.value // 7.25: of the mean of 8 swings on one day
 */
export function varianceOf(noise: NestedNoise, weights: NoiseWeights, level: number): VarianceSum | null {
  const { unitOccasionShare: a, unitValueShare: b, perValue: c } = noise;
  const unit = weights.unit;
  const occasion = weights.occasion - unit * a;
  const value = weights.value - unit * b - occasion * c;
  const terms: MeanSquareTerm[] = [];
  for (const [weight, square] of [
    [unit, noise.unit],
    [occasion, noise.occasion],
    [value, noise.value],
  ] as const) {
    if (Math.abs(weight) < 1e-12) continue;
    if (square === null) return null;
    terms.push({ weight, meanSquare: square.value, degreesOfFreedom: square.degreesOfFreedom });
  }
  return terms.length === 0 ? null : varianceSum(terms, level);
}
