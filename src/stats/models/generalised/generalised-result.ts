import type { FitResult } from '../contract.ts';
import { effectContrasts } from '../design/effect-contrasts.ts';
import { effectTestOf, estimateOf } from '../inference/estimate.ts';
import { fixedDegreesOfFreedom } from '../inference/wald-test.ts';
import { randomEstimates } from '../linear/random-estimates.ts';
import { fitNotes } from './fit-notes.ts';
import type { FittedGeneralised } from './fitted-generalised.ts';
import { generalisedPredictions } from './predictions.ts';

/** SD of the standard logistic distribution. */
const LOGISTIC_SD = Math.PI / Math.sqrt(3);

/** The result of a fit, key for key as the contract has it. */
export function generalisedResult(fitted: FittedGeneralised, predict: boolean): FitResult {
  const { design, coefficients, thresholds, toNamed, free, parameters } = fitted;
  const { model, fixedNames, fixedEffects, thresholdNames, rows } = design;
  const level = model.inference?.level ?? 0.95;
  const cuts = thresholdNames.length;
  const p = fixedNames.length;
  const named = fitted.covariance;
  const between = (a: number, b: number): number => {
    let sum = 0;
    for (let i = 0; i < free; i++)
      for (let j = 0; j < free; j++)
        sum += toNamed[a * free + i]! * named[i * free + j]! * toNamed[b * free + j]!;
    return sum;
  };
  const covariance = fixedNames.map((_, a) => fixedNames.map((__, b) => between(cuts + a, cuts + b)));
  const fixed = fixedNames.map((term, a) => ({
    term,
    ...estimateOf(coefficients[a]!, Math.sqrt(covariance[a]![a]!), null, level),
  }));
  const { test } = fixedDegreesOfFreedom(Float64Array.from(covariance.flat()), null);
  const tests = fixedEffects
    .filter(({ effect }) => effect !== 'intercept')
    .map((effect) =>
      effectTestOf(effect.effect, test(effectContrasts(effect, fixedEffects, p), coefficients)),
    );
  const { random, boundary } = fitted.random
    ? randomEstimates(
        {
          terms: design.terms,
          assembled: { shape: fitted.random.layout.shape, shapeTerm: design.terms.map((_, t) => t) },
        },
        fitted,
        1,
      )
    : { random: [], boundary: [] };
  const { logLikelihood } = fitted;
  return {
    observations: rows,
    groups: Object.fromEntries(design.groupings.map(({ name, levels }) => [name, levels.length])),
    leftOut: design.leftOut,
    fixed,
    covariance,
    random,
    residualSd: model.distribution === 'count' ? 0 : LOGISTIC_SD,
    ...(cuts > 0
      ? {
          thresholds: thresholdNames.map((name, k) => ({
            between: name,
            estimate: thresholds[k]!,
            standardError: Math.sqrt(between(k, k)),
          })),
        }
      : {}),
    logLikelihood,
    criterion: { kind: 'ml', value: -2 * logLikelihood },
    aic: -2 * logLikelihood + 2 * parameters,
    bic: -2 * logLikelihood + parameters * Math.log(rows),
    tests,
    ...(predict ? { predictions: generalisedPredictions(fitted) } : {}),
    diagnosis: {
      converged: fitted.converged,
      gradientNorm: fitted.gradientNorm,
      boundary,
      notes: fitNotes(fitted),
    },
  };
}
