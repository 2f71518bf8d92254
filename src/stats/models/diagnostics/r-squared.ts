import type { Fit } from '../contract.ts';
import { fixedColumns } from '../design/fixed-columns.ts';
import { effectColumns } from '../design/random-columns.ts';
import { type FittedDesign, stateOf } from '../linear/fitted-design.ts';

/**
 * The share of variance that a model explains: one share by least squares, two (fixed effects alone, and with random
 * ones) for a mixed model.
 */
export type ExplainedVariance =
  | {
      readonly kind: 'least-squares';
      /** 1 - residual over total sum of squares; the total is about the mean where the model has an intercept. */
      readonly rSquared: number;
      readonly adjusted: number;
    }
  | {
      readonly kind: 'mixed';
      /** Share of the fixed effects in the whole variance. */
      readonly marginal: number;
      /** Share of fixed and random effects together. */
      readonly conditional: number;
      /**
       * Variance of the fixed part over the rows, the mean variance each random term gives a row, and the
       * residual's.
       */
      readonly fixed: number;
      readonly random: readonly { readonly group: string; readonly variance: number }[];
      readonly residual: number;
    };

/**
 * How much of the outcome's variance a model accounts for. For a mixed model: marginal and conditional
 * R-squared, the variance of a random term with slopes being the mean over rows of z'Sigma z.
 * Throws for a fit that is not of a normal outcome or has a residual structure.
 * Sources: Nakagawa and Schielzeth (2013), Methods in Ecology and Evolution 4, 133-142; Johnson (2014), same
 * journal 5, 944-946.
 *
 * @example
 * const outcome = fitModel({ outcome: 'y', fixed: ['intercept', { column: 'x' }] }, { y: [1, 2, 6], x: [0, 1, 2] });
 * outcome.ok && explainedVariance(outcome.fit).rSquared // 25/28
 */
export function explainedVariance(fit: Fit): ExplainedVariance {
  const state = stateOf(fit);
  if (!state || state.residual)
    throw new Error(
      'explainedVariance: only fits of a normal outcome with independent residuals can be asked for it',
    );
  const { model, kept, rows: n } = state.design;
  const weights = model.weights === undefined ? null : kept.numbers(model.weights);
  if ((model.random ?? []).length === 0) return leastSquaresShare(state, weights);
  const fixed = fixedColumns(model, kept);
  if (!('names' in fixed))
    throw new Error('explainedVariance: the rows kept with a fit always make its design');
  const line = new Float64Array(n);
  state.coefficients.forEach((coefficient, k) => {
    for (let i = 0; i < n; i++) line[i] = line[i]! + coefficient * fixed.values[k * n + i]!;
  });
  const centre = line.reduce((sum, value) => sum + value, 0) / n;
  const fixedVariance = line.reduce((sum, value) => sum + (value - centre) ** 2, 0) / (n - 1);
  const random = model.random!.map((term, t) => {
    const { group, sd, correlation } = fit.result.random[t]!;
    const columns = term.effects.flatMap((effect) => effectColumns(effect, kept));
    let total = 0;
    for (let i = 0; i < n; i++)
      columns.forEach(({ values: a }, j) => {
        columns.forEach(({ values: b }, k) => {
          total += a[i]! * b[i]! * sd[j]! * sd[k]! * correlation[j]![k]!;
        });
      });
    return { group, variance: total / n };
  });
  const meanInverse = weights ? weights.reduce((sum, w) => sum + 1 / w, 0) / n : 1;
  const residual = fit.result.residualSd ** 2 * meanInverse;
  const between = random.reduce((sum, { variance }) => sum + variance, 0);
  const whole = fixedVariance + between + residual;
  return {
    kind: 'mixed',
    marginal: fixedVariance / whole,
    conditional: (fixedVariance + between) / whole,
    fixed: fixedVariance,
    random,
    residual,
  };
}

function leastSquaresShare({ design }: FittedDesign, weights: Float64Array | null): ExplainedVariance {
  const { model, kept, rows: n, outcomeScale } = design;
  const p = design.fixedNames.length;
  const offset = model.offset === undefined ? null : kept.numbers(model.offset);
  const y = kept.numbers(model.outcome).map((value, i) => value - (offset ? offset[i]! : 0));
  const weight = (i: number) => (weights ? weights[i]! : 1);
  const hasMean = model.fixed.includes('intercept');
  let mean = 0;
  if (hasMean) {
    let sum = 0;
    for (let i = 0; i < n; i++) sum += weight(i);
    for (let i = 0; i < n; i++) mean += (weight(i) / sum) * y[i]!;
  }
  let total = 0;
  for (let i = 0; i < n; i++) total += weight(i) * (y[i]! - mean) ** 2;
  // The design's outcome is the least-squares residual at unit mean square.
  const left = n * outcomeScale ** 2;
  return {
    kind: 'least-squares',
    rSquared: 1 - left / total,
    adjusted: 1 - left / (n - p) / (total / (n - (hasMean ? 1 : 0))),
  };
}
