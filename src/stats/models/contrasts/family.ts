import {
  largestStudent,
  studentizedRangeUpper,
  studentizedRangeUpperQuantile,
} from '../../../numerics/index.ts';
import { holm } from '../../multiplicity/holm.ts';
import type { Combination, Estimate, Fit } from '../contract.ts';

/** One of a family of questions, answered alone (`pValue`, `interval`) and with regard to the others. */
export interface FamilyMember extends Estimate {
  readonly name: string;
  /** Chance that any of the family would look so clear if there were nothing in any of them. */
  readonly adjustedPValue: number;
  /** Intervals that all hold together with the confidence asked for; null for `holm`, which has none. */
  readonly simultaneousInterval: readonly [number, number] | null;
}
/** Estimates that were asked about together, with p-values and intervals that hold for all of them at once. */
export interface Family {
  readonly members: readonly FamilyMember[];
  /** How the family was allowed for, and with which degrees of freedom, in words. */
  readonly method: string;
  /** Largest standard error of an adjusted p-value relative to itself, where directions were sampled. */
  readonly relativeError: number;
}
/** How several questions asked at once are allowed for. */
export interface FamilyOptions {
  /** Level of the intervals; the fit's own level unless given. */
  readonly level?: number;
  /**
   * single-step (default): the largest |t| of the family is compared with its own distribution, correlations
   * included. studentized-range: for all pairwise differences of means; exact when they are equally well known,
   * else conservative (Kramer 1956). holm: p-values only, whatever the correlations.
   */
  readonly adjust?: 'single-step' | 'studentized-range' | 'holm';
}

/**
 * Several combinations of fixed effects at once, each with an adjusted p-value and an interval that holds
 * together with the others'. The combinations may have degrees of freedom of their own; the single-step
 * distribution needs one, and takes the smallest.
 * Throws when there is no combination, when one names an unknown term or has no standard error, and when the
 * studentized range is asked for a number of combinations that cannot be all pairs.
 * Sources: Hothorn, Bretz and Westfall (2008), Biometrical Journal 50, 346-363; Tukey (1953); Kramer (1956),
 * Biometrics 12, 307-310; Holm (1979), Scandinavian J Statistics 6, 65-70.
 *
 * With two uncorrelated effects of infinite degrees of freedom and |z| = 2.2 each, both adjusted p-values are 0.0548;
 * one effect alone keeps its own:
 *
 * @example simultaneously(fit, [{ name: 'mean', fixed: { intercept: 1 } }]).members[0]!.adjustedPValue // 0.1885: t = sqrt(27 / 7), 2 df
 */
export function simultaneously(
  fit: Fit,
  combinations: readonly { readonly name: string; readonly fixed: Combination['fixed'] }[],
  options: FamilyOptions = {},
): Family {
  const { level = fit.model.inference?.level ?? 0.95, adjust = 'single-step' } = options;
  const k = combinations.length;
  if (k === 0) throw new Error('simultaneously: name at least one combination');
  const estimates = combinations.map(({ fixed }) => fit.combine({ fixed }, level));
  estimates.forEach(({ standardError }, i) => {
    if (!(standardError > 0))
      throw new Error(
        `simultaneously: ${combinations[i]!.name} has no standard error, so it cannot be one of a family; leave it out`,
      );
  });
  const degrees = estimates.map(({ degreesOfFreedom }) => degreesOfFreedom ?? Infinity);
  const df = Math.min(...degrees);
  const shared =
    df === Infinity
      ? 'normal distribution'
      : `${Math.round(df * 100) / 100} degrees of freedom${degrees.some((d) => d > df * (1 + 1e-6)) ? ', the smallest of the family' : ''}`;
  const give = (
    method: string,
    adjusted: (t: number, index: number) => number,
    halfWidth: number | null,
    relativeError = 0,
  ): Family => ({
    method,
    relativeError,
    members: estimates.map((one, i) => ({
      name: combinations[i]!.name,
      ...one,
      adjustedPValue: Math.max(one.pValue, adjusted(Math.abs(one.statistic), i)),
      simultaneousInterval:
        halfWidth === null
          ? null
          : [one.estimate - halfWidth * one.standardError, one.estimate + halfWidth * one.standardError],
    })),
  });
  if (adjust === 'holm') {
    const adjusted = holm(estimates.map(({ pValue }) => pValue));
    return give('Holm', (_, i) => adjusted[i]!, null);
  }
  if (adjust === 'studentized-range') {
    const groups = (1 + Math.sqrt(1 + 8 * k)) / 2;
    if (!Number.isInteger(groups) || groups < 2)
      throw new Error(
        `simultaneously: the studentized range is for all pairwise differences of some means; ${k} combinations are not`,
      );
    return give(
      `Studentized range of ${groups} means, ${shared}`,
      (t) => studentizedRangeUpper(t * Math.SQRT2, groups, df),
      studentizedRangeUpperQuantile(1 - level, groups, df) / Math.SQRT2,
    );
  }
  const names = new Map(fit.result.fixed.map(({ term }, index) => [term, index]));
  const weights = combinations.map(({ fixed }) => {
    const out = new Float64Array(names.size);
    for (const [term, weight] of Object.entries(fixed)) out[names.get(term)!] = weight;
    return out;
  });
  const covariance = (a: Float64Array, b: Float64Array): number => {
    let sum = 0;
    fit.result.covariance.forEach((row, i) => {
      if (a[i] !== 0)
        row.forEach((value, j) => {
          if (b[j] !== 0) sum += a[i]! * value * b[j]!;
        });
    });
    return sum;
  };
  const sds = weights.map((w) => Math.sqrt(covariance(w, w)));
  const correlation = weights.flatMap((a, i) =>
    weights.map((b, j) => (i === j ? 1 : Math.max(-1, Math.min(1, covariance(a, b) / (sds[i]! * sds[j]!))))),
  );
  const largest = largestStudent(correlation, k, df);
  return give(
    `Largest of ${k} correlated ${df === Infinity ? 'normal' : 't'} variables, ${shared}`,
    (t) => largest.upper(t),
    largest.upperQuantile(1 - level),
    Math.max(...estimates.map(({ statistic }) => largest.relativeError(Math.abs(statistic)))),
  );
}
