import { chiSquaredUpper } from '../../../numerics/index.ts';
import type { Fit, Model } from '../contract.ts';
import type { Design } from '../design/design.ts';
import { fitModel } from '../fit-model.ts';
import { stateOf } from '../linear/fitted-design.ts';
import { dataOf } from './data-of.ts';

/** A likelihood ratio test of two nested models. */
export interface LikelihoodRatio {
  /** Twice the difference of the maximised log likelihoods (maximum likelihood, not restricted). */
  readonly statistic: number;
  /** Difference in the number of parameters. */
  readonly degreesOfFreedom: number;
  readonly pValue: number;
  /** What the p-value was taken from: each share of a chi-squared with its df (0: the point zero). */
  readonly reference: readonly { readonly share: number; readonly df: number }[];
  readonly logLikelihood: { readonly smaller: number; readonly larger: number };
  /** How the p-value is to be read, in words. */
  readonly notes: readonly string[];
}

/**
 * The likelihood-ratio test of a linear mixed model against a larger one that contains it. Both are fitted again by
 * maximum likelihood when they were fitted by the restricted one, whose likelihoods cannot be compared.
 *
 * A variance cannot fall below zero, so where the smaller model lacks one random effect the statistic follows a mixture:
 * half chi-squared with the number of its covariances with other effects, half with one more (for a variance alone half
 * of it is zero). Where the models differ in more variances than that, no simple law is known and the
 * chi-squared with the full difference is used, whose p-value is too large.
 * Sources: Self and Liang (1987), JASA 82, 605-610; Stram and Lee (1994), Biometrics 50, 1171-1177.
 *
 * Throws when a fit is not that of a linear model, when the two use different rows or outcomes, when the smaller is not
 * contained in the larger, or when a fit does not converge.
 *
 * @example
 * // The sleep-deprivation data with and without a random slope
 * const fitted = (effects: readonly string[]) =>
 *   fitModel({ outcome: 'Reaction', fixed: ['intercept', { column: 'Days' }], random: [{ group: 'Subject', effects }] }, sleep);
 * const [smaller, larger] = [fitted(['intercept']), fitted(['intercept', 'Days'])];
 * const ratio = likelihoodRatio(smaller.fit, larger.fit);
 * ratio.statistic // 42.1393
 * ratio.reference // [{ share: 0.5, df: 1 }, { share: 0.5, df: 2 }]
 */
export function likelihoodRatio(smaller: Fit, larger: Fit): LikelihoodRatio {
  const small = byMaximumLikelihood(smaller);
  const large = byMaximumLikelihood(larger);
  checkSameRows(small.design, large.design);
  const random = randomDifference(small.design, large.design);
  const fixed = fixedDifference(small.design, large.design);
  const degrees = fixed + random.parameters;
  if (degrees <= 0)
    throw new Error('likelihoodRatio: the second model must hold everything of the first, and more');
  const logLikelihood = { smaller: small.logLikelihood, larger: large.logLikelihood };
  const statistic = Math.max(0, 2 * (large.logLikelihood - small.logLikelihood));
  const notes: string[] = [];
  let reference = [{ share: 1, df: degrees }];
  if (random.effects === 1 && fixed === 0) {
    reference = [
      { share: 0.5, df: degrees - 1 },
      { share: 0.5, df: degrees },
    ];
    notes.push(
      degrees === 1
        ? 'A variance cannot be negative: if it is zero, the statistic is zero half of the time, so the p-value is half of that of a chi-squared with 1 degree of freedom.'
        : `A variance cannot be negative: the p-value is the mean of those of chi-squared distributions with ${degrees - 1} and ${degrees} degrees of freedom.`,
    );
  } else if (random.effects > 0)
    notes.push(
      'Variances are tested at the edge of what they can be, together with other parameters: the p-value is an upper bound; a parametric bootstrap gives a sharper one.',
    );
  const pValue = reference.reduce(
    (sum, { share, df }) =>
      sum + share * (df === 0 ? (statistic > 0 ? 0 : 1) : chiSquaredUpper(statistic, df)),
    0,
  );
  return { statistic, degreesOfFreedom: degrees, pValue, reference, logLikelihood, notes };
}

function byMaximumLikelihood(fit: Fit): { design: Design; logLikelihood: number } {
  const state = stateOf(fit);
  if (!state || state.residual || fit.model.errorSd)
    throw new Error('likelihoodRatio: hand in fits of normal models with constant residual variance');
  const { inference, ...rest } = fit.model;
  const model: Model = { ...rest, criterion: 'ml', inference: { degreesOfFreedom: 'normal' } };
  const again =
    fit.model.criterion === 'ml' ? { ok: true as const, fit } : fitModel(model, dataOf(state.design));
  if (!again.ok || !again.fit.result.diagnosis.converged)
    throw new Error('likelihoodRatio: a fit by maximum likelihood did not converge');
  return { design: state.design, logLikelihood: again.fit.result.logLikelihood };
}

function checkSameRows(small: Design, large: Design): void {
  const one = small.kept.numbers(small.model.outcome);
  const other = large.kept.numbers(large.model.outcome);
  const same =
    small.model.outcome === large.model.outcome &&
    one.length === other.length &&
    one.every((y, i) => y === other[i] && small.keptRows[i] === large.keptRows[i]);
  if (!same)
    throw new Error(
      `likelihoodRatio: both models must use the same rows and outcome; found ${one.length} and ${other.length} rows. Leave out the rows that lack a value of either model first.`,
    );
}

/** How many fixed effects the larger model has more. Throws where a column of the smaller is not among its columns' sums. */
function fixedDifference(small: Design, large: Design): number {
  const n = large.rows;
  const p = large.fixedNames.length;
  const q = large.columns.fixed;
  const x = small.columns.fixed;
  small.fixedNames.forEach((_, column) => {
    const left = x.slice(column * n, (column + 1) * n);
    for (let k = 0; k < p; k++) {
      let dot = 0;
      for (let i = 0; i < n; i++) dot += q[k * n + i]! * left[i]!;
      for (let i = 0; i < n; i++) left[i] = left[i]! - (dot / n) * q[k * n + i]!;
    }
    if (left.reduce((sum, value) => sum + value * value, 0) > 1e-12 * n)
      throw new Error(
        'likelihoodRatio: the fixed effects of the first model must be among those of the second',
      );
  });
  return p - small.fixedNames.length;
}

/** How many random effects, and how many (co)variances, the larger model has more. */
function randomDifference(small: Design, large: Design): { effects: number; parameters: number } {
  const parametersOf = ({ assembled }: Design) => assembled.shape.starts.at(-1)!;
  const effectsOf = ({ terms }: Design) =>
    terms.flatMap(({ group, effects }) => effects.map((effect) => `${group}: ${effect}`));
  const more = effectsOf(large);
  const less = effectsOf(small);
  const missing = less.filter((name) => !more.includes(name));
  if (missing.length > 0)
    throw new Error(`likelihoodRatio: ${missing.join(', ')} is not a random effect of the second model`);
  return {
    effects: more.length - less.length,
    parameters: parametersOf(large) - parametersOf(small),
  };
}
