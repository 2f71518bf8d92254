import { fQuantile, fUpperQuantile } from '../../numerics/index.ts';
import type { TwoWayMeanSquares } from './two-way.ts';

/**
 * The six forms of the intraclass correlation. `one-way`: raters differ from target to target; `agreement`: the same
 * raters, drawn from many, whose own levels count as error; `consistency`: the same raters, their levels taken out.
 * Each for a single rating and for the mean of all raters.
 */
export interface ReliabilityForm {
  readonly form: 'one-way' | 'agreement' | 'consistency';
  readonly of: 'single' | 'mean';
  /** As in Shrout and Fleiss, such as `ICC(2,1)`; k stands for the number of raters. */
  readonly shroutFleiss: string;
  /** As in McGraw and Wong, such as `ICC(A,1)`. */
  readonly mcGrawWong: string;
  /** Null where the ratings do not vary, or their spread leaves no room for it. */
  readonly estimate: number | null;
  readonly interval: readonly [number, number] | null;
  /** The F ratio of the test that targets do not differ, null where its denominator is 0. */
  readonly f: number | null;
}

/**
 * Intraclass correlations in all six forms, each with its F interval; that of agreement takes Satterthwaite's degrees of
 * freedom. Correlations of means follow from those of single ratings by Spearman and Brown's rule, which agrees with the
 * published forms. Estimates and ends may be negative: targets then differ less than chance would have them.
 *
 * Sources: Shrout and Fleiss 1979, Psychol Bull 86:420-428; McGraw and Wong 1996, Psychol Methods 1:30-46.
 *
 * @throws Error for a level outside (0, 1)
 * @example
 * // Shrout and Fleiss 1979
 * const ratings = [[9, 2, 5, 8], [6, 1, 3, 2], [8, 4, 6, 8], [7, 1, 2, 6], [10, 5, 6, 9], [6, 2, 4, 7]];
 * sixCorrelations(twoWayMeanSquares(ratings))[1]!.estimate // 0.2898, ICC(2,1)
 */
export function sixCorrelations(squares: TwoWayMeanSquares, level = 0.95): ReliabilityForm[] {
  if (!(level > 0 && level < 1))
    throw new Error(`sixCorrelations: the level must lie between 0 and 1; found ${level}`);
  const { targets: n, raters: k, between, within, raterMean, error } = squares;
  const tail = (1 - level) / 2;
  const errorDf = (n - 1) * (k - 1);
  const fromRatio = (f: number): number => (f === Number.POSITIVE_INFINITY ? 1 : (f - 1) / (f + k - 1));
  /** Interval of a single rating from the F ratio of mean squares with these degrees of freedom. */
  const fInterval = (noise: number, df: number): [number, number] | null => {
    if (between + noise === 0) return null;
    const f = between / noise;
    return [fromRatio(f / fUpperQuantile(tail, n - 1, df)), fromRatio(f * fUpperQuantile(tail, df, n - 1))];
  };
  const ratio = (top: number, bottom: number) => (bottom > 0 ? top / bottom : null);
  const singles = [
    {
      form: 'one-way',
      names: ['ICC(1,1)', 'ICC(1)', 'ICC(1,k)', 'ICC(k)'],
      estimate: ratio(between - within, between + (k - 1) * within),
      interval: fInterval(within, n * (k - 1)),
      f: ratio(between, within),
    },
    {
      form: 'agreement',
      names: ['ICC(2,1)', 'ICC(A,1)', 'ICC(2,k)', 'ICC(A,k)'],
      estimate: ratio(between - error, between + (k - 1) * error + (k / n) * (raterMean - error)),
      interval: agreementInterval(squares, tail),
      f: ratio(between, error),
    },
    {
      form: 'consistency',
      names: ['ICC(3,1)', 'ICC(C,1)', 'ICC(3,k)', 'ICC(C,k)'],
      estimate: ratio(between - error, between + (k - 1) * error),
      interval: fInterval(error, errorDf),
      f: ratio(between, error),
    },
  ] as const;
  /** Null at and below -1 / (k - 1), where no mean of k ratings has a correlation. */
  const stepUp = (r: number | null) =>
    r === null || 1 + (k - 1) * r < 1e-12 ? null : (k * r) / (1 + (k - 1) * r);
  const steppedUp = (interval: readonly [number, number] | null): readonly [number, number] | null => {
    const [low, high] = [stepUp(interval?.[0] ?? null), stepUp(interval?.[1] ?? null)];
    return low === null || high === null ? null : [low, high];
  };
  return (['single', 'mean'] as const).flatMap((of) =>
    singles.map(({ form, names, estimate, interval, f }): ReliabilityForm => {
      const mean = of === 'mean';
      return {
        form,
        of,
        shroutFleiss: names[mean ? 2 : 0],
        mcGrawWong: names[mean ? 3 : 1],
        estimate: mean ? stepUp(estimate) : estimate,
        interval: mean ? steppedUp(interval) : interval,
        f,
      };
    }),
  );
}

/** McGraw and Wong 1996, table 7, for a single rating, with Satterthwaite's degrees of freedom. */
function agreementInterval(
  { targets: n, raters: k, between, raterMean, error }: TwoWayMeanSquares,
  tail: number,
): [number, number] | null {
  const whole = between + (k - 1) * error + (k / n) * (raterMean - error);
  if (!(whole > 0) || between === 0) return null;
  const r = (between - error) / whole;
  if (r === 1) return [1, 1];
  const a = (k * r) / (n * (1 - r));
  const b = 1 + (k * r * (n - 1)) / (n * (1 - r));
  const df =
    (a * raterMean + b * error) ** 2 /
    ((a * raterMean) ** 2 / (k - 1) + (b * error) ** 2 / ((n - 1) * (k - 1)));
  const rest = k * raterMean + (k * n - k - n) * error;
  const lowF = fUpperQuantile(tail, n - 1, df);
  const highF = 1 / fQuantile(tail, n - 1, df);
  return [
    (n * (between - lowF * error)) / (lowF * rest + n * between),
    (n * (highF * between - error)) / (rest + n * highF * between),
  ];
}
