import type { Combination, Estimate, Fit } from '../contract.ts';
import { type JointWeights, jointPrediction } from '../linear/conditional-effects.ts';
import { type FittedDesign, stateOf } from '../linear/fitted-design.ts';
import { estimateOf } from './estimate.ts';
import { bilinear } from './inference.ts';
import { jointWeightsOf } from './joint-weights.ts';
import { satterthwaiteDegrees, varianceParameterCovariance } from './satterthwaite.ts';

/**
 * The `combine` of a fit. Without random parts the standard error and degrees of freedom are those of the
 * model's own method. With random parts the standard error is that of the prediction error at the estimated
 * variances, and its degrees of freedom (unless the method is residual or normal) are Satterthwaite's, from the
 * derivative of that error variance by the variance parameters.
 * Source: Henderson (1975), Biometrics 31, 423-447; McLean, Sanders and Stroup (1991), American Statistician 45,
 * 54-64.
 * Throws when a term, group, level or effect is not part of the model.
 */
export function combiner(fitted: FittedDesign): (combination: Combination, level?: number) => Estimate {
  const all = combinerOfMany(fitted);
  return (combination, level = fitted.level) => all([combination], level)[0]!;
}

/**
 * Many combinations at once, in their order: what `fit.combine` gives for each. The system is solved once for all of them
 * and not once for each, which tells where every golfer of thousands is asked for.
 *
 * @throws Error as `fit.combine` does
 * @example combineAll(fit, [{ fixed: { intercept: 1 } }, { fixed: { intercept: 2 } }]).map(({ estimate }) => estimate) // [3, 6]
 */
export function combineAll(fit: Fit, combinations: readonly Combination[], level?: number): Estimate[] {
  const fitted = stateOf(fit);
  if (!fitted) return combinations.map((combination) => fit.combine(combination, level));
  return combinerOfMany(fitted)(combinations, level ?? fitted.level);
}

function combinerOfMany(
  fitted: FittedDesign,
): (combinations: readonly Combination[], level: number) => Estimate[] {
  const { design, deviance, optimum, inference, residualSd, coefficients, residual, method } = fitted;
  const { system, shape } = design.assembled;
  const p = design.fixedNames.length;
  let spread: Float64Array | null | undefined;

  return (combinations, level) => {
    if (!(level > 0 && level < 1))
      throw new Error(`combine: the level must lie between 0 and 1; found ${level}`);
    const asked = combinations.map((combination) => ({
      ...jointWeightsOf(fitted, combination),
      predicted: (combination.random ?? []).length > 0,
    }));
    const predictions = predict(asked.filter((one) => one.predicted).map(({ weights }) => weights));
    let next = 0;
    return asked.map(({ named, weights, start, predicted }) => {
      const contrast = weights.fixed;
      if (!predicted) {
        let estimate = 0;
        for (let a = 0; a < p; a++) estimate += named[a]! * coefficients[a]!;
        const known = (inference.missing?.(contrast) ?? null) === null;
        const variance = known ? bilinear(contrast, inference.covariance, contrast) : Number.NaN;
        return estimateOf(
          estimate,
          Math.sqrt(variance) * residualSd,
          known ? inference.degreesOfFreedom(contrast) : Number.NaN,
          level,
        );
      }
      const { value, variance, degrees } = predictions[next++]!;
      return estimateOf(
        start + design.outcomeScale * value,
        Math.sqrt(Math.max(0, variance)) * residualSd,
        degrees,
        level,
      );
    });
  };

  /** Values and error variances in units of the fit, with degrees of freedom; one elimination for each theta looked at. */
  function predict(
    weights: readonly JointWeights[],
  ): { readonly value: number; readonly variance: number; readonly degrees: number | null }[] {
    if (weights.length === 0) return [];
    const at = (theta: Float64Array, from = { system, deviance }) => {
      const solved = from.deviance.settle(theta);
      return weights.map((one) => jointPrediction(from.system, from.deviance.nodes, solved, one));
    };
    const here = at(optimum.theta);
    const plain = method === 'normal' ? null : system.rows - p;
    if (method === 'normal' || method === 'residual' || optimum.theta.length === 0)
      return here.map((one) => ({ ...one, degrees: plain }));
    if (spread === undefined)
      spread = residual ? residual.spread : varianceParameterCovariance(optimum, shape, deviance.degrees);
    const known = spread;
    if (!known) return here.map((one) => ({ ...one, degrees: plain }));
    /** The derivative of every error variance along one parameter, by differences over five points. */
    const slopes = (moved: (by: number) => readonly { variance: number }[], step: number): Float64Array => {
      const [up, down, farUp, farDown] = [step, -step, 2 * step, -2 * step].map(moved) as [
        ReturnType<typeof moved>,
        ReturnType<typeof moved>,
        ReturnType<typeof moved>,
        ReturnType<typeof moved>,
      ];
      return Float64Array.from(
        here,
        (_, k) =>
          (8 * (up[k]!.variance - down[k]!.variance) - (farUp[k]!.variance - farDown[k]!.variance)) /
          (12 * step),
      );
    };
    const gradients = [
      ...optimum.free.map((i) =>
        slopes(
          (by) => at(optimum.theta.map((value, j) => (j === i ? value + by : value))),
          1e-4 * Math.max(1, Math.abs(optimum.theta[i]!)),
        ),
      ),
      ...Array.from({ length: residual?.count ?? 0 }, (_, i) =>
        slopes((by) => at(optimum.theta, residual!.moved(i, by)), 1e-3),
      ),
    ];
    return here.map((one, k) => ({
      ...one,
      degrees: satterthwaiteDegrees(
        one.variance,
        Float64Array.of(...gradients.map((slope) => slope[k]!), one.variance),
        known,
      ),
    }));
  }
}
