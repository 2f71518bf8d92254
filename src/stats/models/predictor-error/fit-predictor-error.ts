import { minimiseByDifferences } from '../../../numerics/index.ts';
import type { FitOutcome, FitResult } from '../contract.ts';
import type { Design } from '../design/design.ts';
import { fitDesign } from '../linear/fit-design.ts';
import { type FittedDesign, stateOf } from '../linear/fitted-design.ts';
import { describeFit } from './describe-fit.ts';
import { effectPredictions } from './effect-predictions.ts';
import { inUnits, type JointData, jointData } from './joint-data.ts';
import { jointInference } from './joint-inference.ts';
import { jointLikelihood } from './joint-likelihood.ts';
import { countVariables, jointParameters } from './joint-parameters.ts';
import { errorProneColumn } from './predictor-error-problems.ts';
import { type PredictorMoments, predictorMoments } from './start-moments.ts';

/**
 * Fits a normal model with one predictor whose measurement SD is known (joint-likelihood.ts says how): the slopes are
 * those on the true predictor, and their standard errors include that its variance inside and between groups is
 * estimated. The true predictor is taken as normal around a linear function of the other columns, and its error as
 * independent of everything else.
 */
export function fitPredictorError(design: Design, predict: boolean): FitOutcome {
  const measured = jointData(design);
  if (!('rows' in measured)) return { ok: false, problems: measured };
  const column = errorProneColumn(design.model)!;
  const moments = predictorMoments(measured, column);
  if ('kind' in moments) return { ok: false, problems: [moments] };
  const ignoring = fitDesign(design, false);
  if (!ignoring.ok) return ignoring;
  const state = stateOf(ignoring.fit)!;
  const data = inUnits(measured, state.residualSd, Math.sqrt(moments.within));
  const restricted = (design.model.criterion ?? 'reml') === 'reml';
  const likelihood = jointLikelihood(data, restricted);
  const found = minimiseByDifferences(likelihood, startOf(data, moments, ignoring.fit.result, state));
  const inference = jointInference(design, data, found.at, found.differences);
  const parameters = jointParameters(data, found.at);
  const described = describeFit(design, data, parameters, inference, {
    converged: found.converged,
    value: found.differences.value,
    gradientNorm: Math.max(...found.differences.gradient.map(Math.abs)),
    variables: countVariables(data),
    moments,
    column,
  });
  const result: FitResult = predict
    ? { ...described.result, predictions: effectPredictions(design, data, parameters, inference) }
    : described.result;
  return { ok: true, fit: { ...described, result } };
}

function startOf(
  data: JointData,
  { within, between, error }: PredictorMoments,
  ignoring: FitResult,
  { optimum, design }: FittedDesign,
): Float64Array {
  const { terms, grouped, groupRoot, outcomeScale, predictorScale, randomTerms } = data;
  const reliability = within / (within + error);
  const size = groupRoot ** 2;
  const ofMeans = (between + within / size) / (between + (within + error) / size);
  const slopes = terms.map(
    ({ index, onDeviation }) =>
      (ignoring.fixed[index]!.estimate * predictorScale) /
      outcomeScale /
      (onDeviation > 0 ? reliability : ofMeans),
  );
  const steepest = Math.max(...slopes.map(Math.abs));
  // Both units are those of the fit that ignores the error: residual SD and the predictor's SD inside groups are 1.
  const left = Math.max(1 - (steepest ** 2 * reliability * error) / within, 0.25);
  const { shape, shapeTerm } = design.assembled;
  const factors = randomTerms.flatMap((_, t) => {
    const from = shape.starts[shapeTerm[t]!]!;
    return Array.from(optimum.theta.subarray(from, shape.starts[shapeTerm[t]! + 1]!));
  });
  return Float64Array.of(
    ...slopes,
    0,
    ...(grouped ? [groupRoot * Math.sqrt(Math.max(between / within, 0.05))] : []),
    0.5 * Math.log(left),
    ...factors.map((theta) => groupRoot * (theta === 0 ? 0.05 : theta)),
  );
}
