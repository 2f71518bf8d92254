import {
  FINE_STEP,
  inverseOfPositiveDefinite,
  type MinimumByDifferences,
  normalUpperQuantile,
  slopeAlong,
  solveUpper,
} from '../../../numerics/index.ts';
import type { Estimate } from '../contract.ts';
import { estimateOf } from '../inference/estimate.ts';
import { bilinear } from '../inference/inference.ts';
import type { ConsistencyData, Part } from './consistency-data.ts';
import type { ConsistencyResult, GroupConsistency, GroupParameter } from './consistency-model.ts';
import { effectsOf, type SpreadPoint } from './spread-likelihood.ts';

/** The result in the outcome's unit, without the comparison of likelihoods. */
export function describeConsistency(
  data: ConsistencyData,
  found: MinimumByDifferences<SpreadPoint>,
  differ: boolean,
  level: number,
): {
  readonly outcome: Omit<ConsistencyResult, 'differInSpread'>;
  readonly combine: (
    of: 'fixed' | 'spread',
    weights: Readonly<Record<string, number>>,
    level?: number,
  ) => Estimate;
} {
  const { at, differences } = found;
  const { mean, spread, scale, rows } = data;
  const total = at.length;
  const covariance = inverseOfPositiveDefinite(differences.hessian, total)?.map((value) => 2 * value) ?? null;
  const tail = normalUpperQuantile((1 - level) / 2);
  const variances = covariance ?? new Float64Array(total * total).fill(Number.NaN);

  // Coefficients as named: the inverse of the part's upper triangle, in the unit of the outcome for the mean.
  const named = (part: Part, offset: number, unit: number) =>
    part.names.map((_, index) => {
      const weights = new Float64Array(total);
      for (let j = 0; j < part.size; j++) {
        const column = new Float64Array(part.size);
        column[j] = unit;
        solveUpper(part.upper, part.size, column);
        weights[offset + j] = column[index]!;
      }
      return weights;
    });
  const meanWeights = named(mean, 0, scale);
  const spreadWeights = named(spread, mean.size, 1);
  // The log SD was fitted in units of `scale`, whose logarithm its intercept takes up.
  const valueAt = (weights: Float64Array) => weights.reduce((sum, w, i) => sum + w * at[i]!, 0);
  const meanCoefficients = meanWeights.map((weights, i) => data.start[i]! + valueAt(weights));
  const spreadCoefficients = spreadWeights.map(
    (weights, i) => (spread.names[i] === 'intercept' ? Math.log(scale) : 0) + valueAt(weights),
  );
  const estimates = (names: readonly string[], weights: readonly Float64Array[], values: readonly number[]) =>
    names.map((term, i) => ({
      term,
      ...estimateOf(values[i]!, Math.sqrt(bilinear(weights[i]!, variances, weights[i]!)), null, level),
    }));

  const effects = effectsOf(data, at);
  const meanSd = Math.hypot(effects.own, effects.shared);
  const boundary: string[] = [];
  const meanZero = meanSd < 1e-5;
  const correlation = meanZero || !differ ? 0 : effects.shared / meanSd;
  const atLimit = differ && !meanZero && Math.abs(correlation) > 1 - 1e-8;
  if (meanZero) boundary.push('The means of the groups are estimated not to differ.');
  if (!differ)
    boundary.push(
      'The residual SDs of the groups are estimated not to differ: they scatter no more than chance alone would make them.',
    );
  if (atLimit)
    boundary.push(
      `The correlation of a group's mean with its residual SD is estimated at its limit (${correlation > 0 ? 'plus' : 'minus'} 1): the data do not hold enough to tell the two apart.`,
    );
  // Derivatives by the last variables (own, shared, log spread), through the root of the group size.
  const root = Math.sqrt(rows / data.groups.length);
  const places = mean.size + spread.size;
  const errorOf = (own: number, shared: number, log: number): number | null => {
    if (!covariance) return null;
    const gradient = new Float64Array(total);
    gradient[places] = own * Math.sign(at[places]!);
    if (differ) {
      gradient[places + 1] = shared;
      gradient[places + 2] = log;
    }
    return Math.sqrt(bilinear(gradient, covariance, gradient));
  };
  const none: GroupParameter = { estimate: 0, standardError: null, interval: null };
  const onLog = (estimate: number, error: number | null): GroupParameter => ({
    estimate,
    standardError: error === null ? null : error * estimate,
    interval: error === null ? null : [estimate * Math.exp(-tail * error), estimate * Math.exp(tail * error)],
  });
  const meanError = errorOf(effects.own / meanSd ** 2 / root, effects.shared / meanSd ** 2 / root, 0);
  const z = Math.atanh(correlation);
  // atanh(shared / hypot(own, shared)) = asinh(shared / own).
  const zError = errorOf(-effects.shared / (effects.own * meanSd) / root, 1 / meanSd / root, 0);
  const outcome: Omit<ConsistencyResult, 'differInSpread'> = {
    observations: rows,
    groups: data.groups.length,
    leftOut: data.leftOut,
    fixed: estimates(mean.names, meanWeights, meanCoefficients),
    spread: estimates(spread.names, spreadWeights, spreadCoefficients),
    groupMeanSd: meanZero ? none : onLog(meanSd * scale, meanError),
    groupLogSd: differ ? onLog(effects.spread, errorOf(0, 0, 1)) : none,
    correlation:
      !differ || meanZero
        ? none
        : {
            estimate: atLimit ? Math.sign(correlation) : correlation,
            standardError: atLimit || zError === null ? null : zError * (1 - correlation ** 2),
            interval:
              atLimit || zError === null
                ? null
                : [Math.tanh(z - tail * zError), Math.tanh(z + tail * zError)],
          },
    logLikelihood: -differences.value / 2,
    aic: differences.value + 2 * total,
    bic: differences.value + total * Math.log(rows),
    predictions: predictionsOf(data, found, covariance, tail),
    diagnosis: {
      converged: found.converged,
      gradientNorm: Math.max(...differences.gradient.map(Math.abs)),
      boundary,
      notes: [
        ...data.notes,
        ...(found.converged
          ? []
          : ['The search for the optimum stopped before it was settled: do not use these numbers.']),
      ],
    },
  };
  return {
    outcome,
    combine(of, asked, confidence = level) {
      const [names, weights, values] =
        of === 'fixed'
          ? [mean.names, meanWeights, meanCoefficients]
          : [spread.names, spreadWeights, spreadCoefficients];
      const joint = new Float64Array(total);
      let estimate = 0;
      for (const [term, weight] of Object.entries(asked)) {
        const index = names.indexOf(term);
        if (index < 0) throw new Error(`combine: no ${of} term ${term}; the terms are ${names.join(', ')}`);
        estimate += weight * values[index]!;
        for (let i = 0; i < total; i++) joint[i] = joint[i]! + weight * weights[index]![i]!;
      }
      return estimateOf(estimate, Math.sqrt(bilinear(joint, variances, joint)), null, confidence);
    },
  };
}

function predictionsOf(
  data: ConsistencyData,
  { differences }: MinimumByDifferences<SpreadPoint>,
  covariance: Float64Array | null,
  tail: number,
): GroupConsistency[] {
  const { here, along } = differences;
  const { groups, first, scale } = data;
  return groups.map((level, g) => {
    const gradient = Float64Array.from(along, (points) =>
      slopeAlong(
        points.map(({ logSd }) => logSd[g]!),
        FINE_STEP,
      ),
    );
    const variance = here.spreadVariance[g]! + (covariance ? bilinear(gradient, covariance, gradient) : 0);
    const half = tail * Math.sqrt(variance);
    const sd = Math.exp(here.logSd[g]!) * scale;
    return {
      level,
      rows: first[g + 1]! - first[g]!,
      meanEffect: here.meanEffect[g]! * scale,
      meanEffectSd: Math.sqrt(here.meanVariance[g]!) * scale,
      sd,
      sdInterval: [sd * Math.exp(-half), sd * Math.exp(half)],
      sdRatio: Math.exp(here.spreadMean[g]!),
    };
  });
}
