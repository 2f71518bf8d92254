import { normalUpperQuantile, studentUpperQuantile } from '../../../numerics/index.ts';
import type { Fit } from '../contract.ts';
import { bilinear } from '../inference/inference.ts';
import { satterthwaiteDegrees, varianceParameterCovariance } from '../inference/satterthwaite.ts';
import { stateOf } from '../linear/fitted-design.ts';
import { predictorRow, type Setting } from './predictor-row.ts';
import { effectColumnsAt } from './random-row.ts';

/**
 * The expected outcome at given values, once for the mean and once for one further measurement, in the unit of the
 * outcome.
 */
export interface Prediction {
  readonly estimate: number;
  /**
   * For the mean outcome of the level or levels asked for: fixed effects, known levels' effects, and the spread
   * of new ones.
   */
  readonly meanSd: number;
  readonly meanInterval: readonly [number, number];
  /** The same with the residual of one further measurement. */
  readonly measurementSd: number;
  readonly measurementInterval: readonly [number, number];
  /** Null means normal. */
  readonly degreesOfFreedom: { readonly mean: number | null; readonly measurement: number | null };
}

/** For which known levels a prediction is, and at which level its intervals hold. */
export interface PredictOptions {
  /**
   * Groups whose level is one of the data's: its predicted effects are used. Every group not named is a new
   * level.
   */
  readonly levels?: Readonly<Record<string, string>>;
  readonly level?: number;
}

/**
 * What to expect of a golfer never seen (or seen, when `levels` names them) at one setting of the columns. The
 * variance adds up
 *   the error of the fixed effects and of the known levels' effects (mixed-model equations),
 *   z'Sigma z for each group whose level is new, and, for one measurement, the residual variance.
 * Degrees of freedom: the first part has those of `combine`, the others Satterthwaite's from the information on
 * the variance parameters, and the sum those of Welch and Satterthwaite, f^2 / sum f_i^2 / df_i, in which the
 * parts count as independent.
 * Throws when the setting lacks a column or a level is unknown, or for a fit that is not of a normal outcome
 * with independent residuals. With weights, a measurement is one of weight 1.
 * Sources: Henderson (1975), Biometrics 31, 423-447; Satterthwaite (1946), Biometrics Bulletin 2, 110-114.
 *
 * @example predictNew(fit, {}).measurementSd // 3.055: the root of 7 + 7 / 3
 */
export function predictNew(fit: Fit, setting: Setting, options: PredictOptions = {}): Prediction {
  const state = stateOf(fit);
  if (!state || state.residual)
    throw new Error(
      'predictNew: only fits of a normal outcome with independent residuals can be asked for it',
    );
  const { design, deviance, optimum } = state;
  const { model, kept, terms, assembled } = design;
  const { levels = {}, level = state.level } = options;
  for (const group of Object.keys(levels))
    if (!terms.some((term) => term.group === group))
      throw new Error(
        `predictNew: no group ${group}; the groups are ${[...new Set(terms.map((term) => term.group))].join(', ')}`,
      );
  const x = predictorRow('predictNew', model, kept, setting);
  const rows = (model.random ?? []).map((term) => effectColumnsAt('predictNew', term, kept, setting));
  const fixed = Object.fromEntries(design.fixedNames.map((name, i) => [name, x[i]!]));
  const random = terms.flatMap((term, t) =>
    Object.hasOwn(levels, term.group)
      ? [
          {
            group: term.group,
            level: levels[term.group]!,
            weights: Object.fromEntries(term.effects.map((effect, a) => [effect, rows[t]![a]!])),
          },
        ]
      : [],
  );
  const known = fit.combine(random.length > 0 ? { fixed, random } : { fixed }, level);
  const method = model.inference?.degreesOfFreedom ?? 'satterthwaite';

  // What is new, in units of the residual variance, with its gradient by the free thetas.
  const { shape, shapeTerm } = assembled;
  const byTheta = new Float64Array(optimum.theta.length);
  let spread = 0;
  terms.forEach((term, t) => {
    if (Object.hasOwn(levels, term.group)) return;
    const q = term.effects.length;
    // z as named turns into T'z in the coordinates of the fit.
    const z = Float64Array.from({ length: q }, (_, a) => {
      let sum = 0;
      for (let b = 0; b < q; b++) sum += term.toModel[b * q + a]! * rows[t]![b]!;
      return sum;
    });
    spread += bilinear(z, shape.covariance(optimum.theta, shapeTerm[t]!), z);
    for (let i = shape.starts[shapeTerm[t]!]!; i < shape.starts[shapeTerm[t]! + 1]!; i++) {
      const moved = (by: number) =>
        bilinear(
          z,
          shape.covariance(
            optimum.theta.map((value, j) => (j === i ? value + by : value)),
            shapeTerm[t]!,
          ),
          z,
        );
      // A quadratic in theta: the central difference is exact.
      byTheta[i] = byTheta[i]! + (moved(1) - moved(-1)) / 2;
    }
  });
  const information =
    optimum.theta.length > 0 ? varianceParameterCovariance(optimum, shape, deviance.degrees) : null;
  const sigma = state.residualSd;
  const total = (residual: 0 | 1) => {
    const ownVariance = known.standardError ** 2;
    const newVariance = (spread + residual) * sigma * sigma;
    const variance = ownVariance + newVariance;
    const sd = Math.sqrt(variance);
    let degrees: number | null = known.degreesOfFreedom;
    if (newVariance > 0 && degrees !== null && method !== 'residual' && information) {
      const gradient = Float64Array.of(...optimum.free.map((i) => byTheta[i]!), spread + residual);
      const own = satterthwaiteDegrees(spread + residual, gradient, information);
      degrees = variance ** 2 / (ownVariance ** 2 / degrees + newVariance ** 2 / own);
    }
    const quantile =
      degrees === null
        ? normalUpperQuantile((1 - level) / 2)
        : studentUpperQuantile((1 - level) / 2, degrees);
    const interval: [number, number] = [known.estimate - quantile * sd, known.estimate + quantile * sd];
    return { sd, interval, degrees };
  };
  const mean = total(0);
  const measurement = total(1);
  return {
    estimate: known.estimate,
    meanSd: mean.sd,
    meanInterval: mean.interval,
    measurementSd: measurement.sd,
    measurementInterval: measurement.interval,
    degreesOfFreedom: { mean: mean.degrees, measurement: measurement.degrees },
  };
}
