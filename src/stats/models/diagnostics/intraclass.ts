import { normalUpperQuantile } from '../../../numerics/index.ts';
import type { Fit } from '../contract.ts';
import { bilinear } from '../inference/inference.ts';
import { varianceParameterCovariance } from '../inference/satterthwaite.ts';
import { stateOf } from '../linear/fitted-design.ts';

/** How alike two rows of one level of a group are, between 0 and 1. */
export interface IntraclassCorrelation {
  readonly group: string;
  /** Correlation of two rows of the same level, given the fixed effects. */
  readonly estimate: number;
  /** Null where the method gives none, with the reason in `note`. */
  readonly interval: readonly [number, number] | null;
  readonly note: string | null;
}

/**
 * The intraclass correlation of a model whose random effects are intercepts: the variance that two rows of the
 * same level share, over the whole. Rows of one level of a nested group (`instructor / golfer`) share the
 * variance of the groups it lies in too. The interval is the normal one of log(r / (1 - r)), whose standard
 * error comes by the delta method from the exact curvature of the (restricted) likelihood; it is rough where
 * levels are few.
 * Throws for a fit that is not of a normal outcome, for random slopes (the correlation then depends on the row), a
 * residual structure, or an unknown group.
 * Source: Searle, Casella and McCulloch (1992), Variance Components, chapters 3 and 6.
 *
 * @example
 * const model = { outcome: 'y', fixed: ['intercept'], random: [{ group: 'g', effects: ['intercept'] }] };
 * const outcome = fitModel(model, { y: [0, 2, 6, 8], g: ['a', 'a', 'b', 'b'] });
 * outcome.ok && intraclassCorrelation(outcome.fit, 'g').estimate // 0.8947: variances 17 between and 2 within
 */
export function intraclassCorrelation(fit: Fit, group: string, level = 0.95): IntraclassCorrelation {
  const state = stateOf(fit);
  if (!state || state.residual)
    throw new Error(
      'intraclassCorrelation: only fits of a normal outcome with independent residuals can be asked for it',
    );
  if (!(level > 0 && level < 1))
    throw new Error(`intraclassCorrelation: the level must lie between 0 and 1; found ${level}`);
  const { design, deviance, optimum } = state;
  const { terms, assembled } = design;
  const { shape, shapeTerm } = assembled;
  if (terms.some(({ effects }) => effects.length > 1 || effects[0] !== 'intercept'))
    throw new Error(
      'intraclassCorrelation: with random slopes the correlation depends on the row; fit the model with intercepts alone',
    );
  const own = terms.find((term) => term.group === group);
  if (!own)
    throw new Error(
      `intraclassCorrelation: no random intercept across ${group}; the groups are ${terms.map((term) => term.group).join(', ')}`,
    );
  // A term is shared when its columns are among those that make up the group.
  const inside = new Set(group.split(' / '));
  const shared = terms.map((term) => term.group.split(' / ').every((column) => inside.has(column)));
  // Relative variances and what each is differentiated by: variance = (scale theta)^2.
  const scales = terms.map(({ toModel }) => toModel[0]!);
  const places = terms.map((_, t) => shape.starts[shapeTerm[t]!]!);
  const ratios = places.map((place, t) => (scales[t]! * optimum.theta[place]!) ** 2);
  const within = ratios.reduce((sum, ratio, t) => sum + (shared[t] ? ratio : 0), 0);
  const whole = 1 + ratios.reduce((sum, ratio) => sum + ratio, 0);
  const estimate = within / whole;
  if (within === 0)
    return {
      group,
      estimate,
      interval: null,
      note: 'The shared variance is estimated as zero; this interval does not exist there. Simulate from the model instead.',
    };
  const spread = varianceParameterCovariance(optimum, shape, deviance.degrees);
  if (!spread)
    return {
      group,
      estimate,
      interval: null,
      note: 'The curvature of the likelihood at the optimum is not that of a minimum, so there is no interval.',
    };
  // log(r / (1 - r)) = log within - log(whole - within); the last parameter, the residual variance, cancels.
  const rest = whole - within;
  const gradient = Float64Array.of(
    ...optimum.free.map((place) => {
      const t = places.indexOf(place);
      const slope = 2 * scales[t]! ** 2 * optimum.theta[place]!;
      return shared[t] ? slope / within : -slope / rest;
    }),
    0,
  );
  const logit = Math.log(within / rest);
  const half = normalUpperQuantile((1 - level) / 2) * Math.sqrt(bilinear(gradient, spread, gradient));
  const back = (value: number) => 1 / (1 + Math.exp(-value));
  return { group, estimate, interval: [back(logit - half), back(logit + half)], note: null };
}
