import { chiSquaredUpperQuantile, studentQuantile, studentTwoSided } from '../../numerics/index.ts';
import { moments } from '../trial/moments.ts';
import { nestedNoise, varianceOf } from './nested-noise.ts';

interface Bound {
  readonly value: number;
  readonly interval: readonly [number, number];
}

/** How far two methods differ on the same thing (first minus second), with intervals. */
export interface LimitsOfAgreement {
  /** Pairs, and units they belong to. */
  readonly pairs: number;
  readonly units: number;
  readonly mean: Bound;
  /** SD of the difference of a single pair. */
  readonly sd: number;
  readonly lower: Bound;
  readonly upper: Bound;
  readonly degreesOfFreedom: number;
}

export interface LimitsOptions {
  readonly level?: number;
  /** SDs either side of the mean. Default 1.96; the paper of 1986 used 2. */
  readonly multiplier?: number;
}

/**
 * Limits of agreement of two methods from one pair for each unit: mean difference plus and minus 1.96 SDs of the
 * differences. Intervals by t with n - 1 degrees of freedom and standard errors s / sqrt n of the mean and
 * sqrt(3 / n) s of each limit. Null below two pairs.
 *
 * Source: Bland and Altman 1986, Lancet 327:307-310; 1999, Stat Methods Med Res 8:135-160.
 *
 * @throws Error for a difference that is not finite, or a level outside (0, 1)
 * @example limitsOfAgreement(differences, { multiplier: 2 }).lower // value -79.6, interval [-114.2, -45.1] (1986, peak flow)
 */
export function limitsOfAgreement(
  differences: readonly number[],
  options: LimitsOptions = {},
): LimitsOfAgreement | null {
  const { level = 0.95, multiplier = 1.96 } = options;
  check('limitsOfAgreement', differences, level);
  const sample = moments(differences);
  if (sample === null || sample.sd === null) return null;
  const { n, mean, sd } = sample;
  const t = studentQuantile((1 + level) / 2, n - 1);
  const bound = (value: number, half: number): Bound => ({ value, interval: [value - half, value + half] });
  const half = t * sd * Math.sqrt(3 / n);
  return {
    pairs: n,
    units: n,
    mean: bound(mean, (t * sd) / Math.sqrt(n)),
    sd,
    lower: bound(mean - multiplier * sd, half),
    upper: bound(mean + multiplier * sd, half),
    degreesOfFreedom: n - 1,
  };
}

/**
 * Limits of agreement from several pairs for each unit, each pair taken at one moment while what is measured may move.
 * The differences have a variance between units and one within: the SD of a single difference is the root of their
 * sum. Between units it is that of the unit means less what pairs add to it, by unweighted means.
 * Intervals recover the variance estimates of mean and SD (Zou's MOVER), so they are not symmetrical. Null below two
 * units. With one pair in each unit only the way to the intervals differs from `limitsOfAgreement`. Where pairs were
 * taken on several occasions (`occasion`, within its unit), an occasion is a source of variance of its own: the three
 * are summed with their modified large sample interval (`varianceOf`).
 *
 * Source: Bland and Altman 2007, J Biopharm Stat 17:571-582, section 3; intervals: Zou 2013, Stat Methods Med Res 22:630-642.
 *
 * @throws Error for a difference that is not finite, or a level outside (0, 1)
 * @example limitsFromPairs([{ unit: 'a', difference: 1 }, { unit: 'b', difference: 3 }]).mean.value // 2
 */
export function limitsFromPairs(
  pairs: readonly { readonly unit: string; readonly occasion?: string; readonly difference: number }[],
  options: LimitsOptions = {},
): LimitsOfAgreement | null {
  check(
    'limitsFromPairs',
    pairs.map(({ difference }) => difference),
    options.level ?? 0.95,
  );
  const noise = nestedNoise(
    pairs.map(({ unit, occasion, difference }) => ({ unit, occasion: occasion ?? '', value: difference })),
  );
  const nested =
    noise.occasion === null
      ? null
      : varianceOf(
          noise,
          { unit: 1, occasion: 1, value: noise.value === null ? noise.perValue : 1 },
          options.level ?? 0.95,
        );
  const own = new Map<string, number[]>();
  for (const { unit, difference } of pairs) {
    const values = own.get(unit);
    if (values === undefined) own.set(unit, [difference]);
    else values.push(difference);
  }
  const groups = [...own.values()].map((values) => moments(values)!);
  const between = moments(groups.map(({ mean }) => mean));
  if (between === null || between.sd === null) return null;
  if (nested !== null && nested.value > 0 && noise.unit !== null)
    return around(
      { mean: noise.unitMean, between: noise.unit.value, units: noise.units },
      { value: nested.value, interval: [Math.max(0, nested.interval[0]), nested.interval[1]] },
      pairs.length,
      options,
    );
  const withinDf = pairs.length - groups.length;
  const within =
    withinDf === 0 ? 0 : groups.reduce((sum, { n, sd }) => sum + (n - 1) * (sd ?? 0) ** 2, 0) / withinDf;
  const share = groups.reduce((sum, { n }) => sum + 1 / n, 0) / groups.length;
  return recovered(
    { mean: between.mean, between: between.sd ** 2, units: groups.length },
    [{ variance: within, weight: 1 - share, degreesOfFreedom: withinDf }],
    pairs.length,
    options,
  );
}

/** Readings of one method on one unit, in no order. */
export interface UnpairedReadings {
  readonly unit: string;
  readonly first: readonly number[];
  readonly second: readonly number[];
}

/**
 * Limits of agreement of single readings where each unit was read several times by each method, not at the same moments,
 * and what is measured does not move. The SD of a single difference is the root of
 * var(difference of unit means) + (1 - mean 1/m1) sw1^2 + (1 - mean 1/m2) sw2^2.
 * Intervals as in `limitsFromPairs`. Null below two units, or where no unit has two readings by one of the methods.
 *
 * Source: Bland and Altman 1999, Stat Methods Med Res 8:135-160, section 5.2; intervals: Zou 2013, as above.
 *
 * @throws Error for a unit without a reading by one method, or a reading that is not finite
 */
export function limitsFromReadings(
  readings: readonly UnpairedReadings[],
  options: LimitsOptions = {},
): LimitsOfAgreement | null {
  check(
    'limitsFromReadings',
    readings.flatMap(({ first, second }) => [...first, ...second]),
    options.level ?? 0.95,
  );
  if (readings.some(({ first, second }) => first.length === 0 || second.length === 0))
    throw new Error('limitsFromReadings: every unit needs a reading by both methods');
  const between = moments(readings.map(({ first, second }) => moments(first)!.mean - moments(second)!.mean));
  if (between === null || between.sd === null) return null;
  const noises = (['first', 'second'] as const).map((method) => {
    let squares = 0;
    let degreesOfFreedom = 0;
    let share = 0;
    for (const reading of readings) {
      const sample = moments(reading[method])!;
      squares += (sample.n - 1) * (sample.sd ?? 0) ** 2;
      degreesOfFreedom += sample.n - 1;
      share += 1 / sample.n / readings.length;
    }
    return {
      variance: degreesOfFreedom === 0 ? null : squares / degreesOfFreedom,
      weight: 1 - share,
      degreesOfFreedom,
    };
  });
  const known = noises.flatMap(({ variance, ...rest }) => (variance === null ? [] : [{ variance, ...rest }]));
  if (known.length < 2) return null;
  const pairs = readings.reduce((sum, { first, second }) => sum + Math.min(first.length, second.length), 0);
  return recovered(
    { mean: between.mean, between: between.sd ** 2, units: readings.length },
    known,
    pairs,
    options,
  );
}

interface Noise {
  readonly variance: number;
  readonly weight: number;
  readonly degreesOfFreedom: number;
}

interface UnitMeans {
  readonly mean: number;
  /** Variance of the means of units. */
  readonly between: number;
  readonly units: number;
}

/** Limits from the variance of unit means and the noise that they average out: the distances of its limits add in squares. */
function recovered(
  means: UnitMeans,
  noises: readonly Noise[],
  pairs: number,
  options: LimitsOptions,
): LimitsOfAgreement {
  const tail = (1 - (options.level ?? 0.95)) / 2;
  const parts = [{ variance: means.between, weight: 1, degreesOfFreedom: means.units - 1 }, ...noises].filter(
    ({ variance, weight }) => weight * variance > 0,
  );
  const whole = parts.reduce((sum, { variance, weight }) => sum + weight * variance, 0);
  const distance = (share: number) =>
    Math.sqrt(
      parts.reduce(
        (sum, { variance, weight, degreesOfFreedom: df }) =>
          sum + (weight * variance * (df / chiSquaredUpperQuantile(share, df) - 1)) ** 2,
        0,
      ),
    );
  const interval = [Math.max(0, whole - distance(tail)), whole + distance(1 - tail)] as const;
  return around(means, { value: whole, interval }, pairs, options);
}

/** Mean and limits from the variance of a single difference, the intervals of mean and SD recovered (Zou 2013). */
function around(
  { mean, between, units }: UnitMeans,
  variance: { readonly value: number; readonly interval: readonly [number, number] },
  pairs: number,
  { level = 0.95, multiplier = 1.96 }: LimitsOptions,
): LimitsOfAgreement {
  const [low, sd, high] = [variance.interval[0], variance.value, variance.interval[1]].map(Math.sqrt) as [
    number,
    number,
    number,
  ];
  const half = studentQuantile((1 + level) / 2, units - 1) * Math.sqrt(between / units);
  const outward = Math.hypot(half, multiplier * (high - sd));
  const inward = Math.hypot(half, multiplier * (sd - low));
  const [lower, upper] = [mean - multiplier * sd, mean + multiplier * sd];
  return {
    pairs,
    units,
    mean: { value: mean, interval: [mean - half, mean + half] },
    sd,
    lower: { value: lower, interval: [lower - outward, lower + inward] },
    upper: { value: upper, interval: [upper - inward, upper + outward] },
    degreesOfFreedom: units - 1,
  };
}

/** How the difference of two methods moves with the size of what is measured. */
export interface ProportionalBias {
  /** Change of the difference for each unit of the mean of both. */
  readonly slope: number;
  readonly interval: readonly [number, number];
  readonly degreesOfFreedom: number;
  readonly pValue: number;
}

/**
 * Slope of the difference (first minus second) on the mean of both, by least squares, one pair for each unit. It is not
 * zero also where one method is noisier than the other. Null below three pairs or where the means do not vary.
 *
 * Source: Bland and Altman 1999, Stat Methods Med Res 8:135-160, section 3.2.
 *
 * @example proportionalBias([[1, 2], [2, 4], [3, 6.1]]).slope // -0.6739
 */
export function proportionalBias(
  pairs: readonly (readonly [number, number])[],
  level = 0.95,
): ProportionalBias | null {
  check('proportionalBias', pairs.flat(), level);
  const n = pairs.length;
  if (n < 3) return null;
  const x = pairs.map(([first, second]) => (first + second) / 2);
  const y = pairs.map(([first, second]) => first - second);
  const [middleX, middleY] = [moments(x)!.mean, moments(y)!.mean];
  let sxx = 0;
  let sxy = 0;
  x.forEach((value, i) => {
    sxx += (value - middleX) ** 2;
    sxy += (value - middleX) * (y[i]! - middleY);
  });
  if (sxx === 0) return null;
  const slope = sxy / sxx;
  const left = x.reduce((sum, value, i) => sum + (y[i]! - middleY - slope * (value - middleX)) ** 2, 0);
  const error = Math.sqrt(left / (n - 2) / sxx);
  const half = studentQuantile((1 + level) / 2, n - 2) * error;
  return {
    slope,
    interval: [slope - half, slope + half],
    degreesOfFreedom: n - 2,
    pValue: error === 0 ? (slope === 0 ? 1 : 0) : studentTwoSided(slope / error, n - 2),
  };
}

/**
 * Coefficient of repeatability of one method from two readings of each unit: the size that the difference of two readings
 * stays below in about 95 % of cases, 2 sqrt(mean d^2) (Bland and Altman 1986; 1.96 in place of 2 since 1999), and the
 * SD within a unit, sqrt(mean d^2 / 2). Null without a pair.
 *
 * @example repeatability([[494, 490], [395, 397]], { multiplier: 2 }).coefficient // 6.3246
 */
export function repeatability(
  pairs: readonly (readonly [number, number])[],
  { multiplier = 1.96 }: Pick<LimitsOptions, 'multiplier'> = {},
): { readonly coefficient: number; readonly withinSd: number } | null {
  check('repeatability', pairs.flat(), 0.95);
  if (pairs.length === 0) return null;
  const meanSquare = pairs.reduce((sum, [a, b]) => sum + (a - b) ** 2, 0) / pairs.length;
  return { coefficient: multiplier * Math.sqrt(meanSquare), withinSd: Math.sqrt(meanSquare / 2) };
}

function check(who: string, values: readonly number[], level: number): void {
  if (!values.every(Number.isFinite)) throw new Error(`${who}: every value must be a finite number`);
  if (!(level > 0 && level < 1))
    throw new Error(`${who}: the level must lie between 0 and 1; found ${level}`);
}
