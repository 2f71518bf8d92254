import { solveUpper } from '../../../numerics/index.ts';
import type { DataColumns, Fit, FitOutcome, FitResult, Model, ModelProblem } from '../contract.ts';
import { effectContrasts } from '../design/effect-contrasts.ts';
import { effectTestOf, estimateOf } from '../inference/estimate.ts';
import { fixedDegreesOfFreedom } from '../inference/wald-test.ts';
import { randomEstimates } from '../linear/random-estimates.ts';
import { approximation } from './approximation.ts';
import { buildGeneralisedDesign } from './build-generalised-design.ts';
import { generalisedCombiner } from './combine-generalised.ts';
import type { FittedGeneralised } from './fitted-generalised.ts';
import type { GeneralisedDesign } from './generalised-design.ts';
import { type MaximumLikelihood, maximumLikelihood } from './maximum-likelihood.ts';
import { findGeneralisedOptimum } from './optimum.ts';
import { overdispersionNote } from './overdispersion.ts';
import { generalisedPredictions } from './predictions.ts';
import { separationProblem } from './separation.ts';
import { generalisedStart } from './start-values.ts';
import { thresholdsOf } from './threshold-parameters.ts';

/** SD of the standard logistic distribution. */
const LOGISTIC_SD = Math.PI / Math.sqrt(3);

/**
 * Fits a model of a yes/no (logit), ordinal (cumulative logit) or count (log) outcome: by maximum likelihood without
 * random terms, otherwise by Laplace's approximation or adaptive quadrature. Standard errors are those of the whole
 * Hessian, variances included; tests are normal (`degreesOfFreedom` null), joint tests Wald's, as F with an infinite
 * denominator (`denominatorDf` null). Log likelihoods are absolute.
 */
export function fitGeneralised(model: Model, data: DataColumns, predict: boolean): FitOutcome {
  const built = buildGeneralisedDesign(model, data);
  if (!('design' in built)) return { ok: false, problems: built };
  const { design, kept } = built;
  const plain = maximumLikelihood(design);
  if ('direction' in plain)
    return { ok: false, problems: [separationProblem(design, kept, plain.direction)] };
  const fitted = design.layout ? fitRandom(design, plain) : fitPlain(design, plain);
  if (!('design' in fitted)) return { ok: false, problems: [fitted] };
  const fit: Fit = { model, result: resultOf(fitted, predict), combine: generalisedCombiner(fitted) };
  return { ok: true, fit };
}

function fitPlain(design: GeneralisedDesign, found: MaximumLikelihood): FittedGeneralised | ModelProblem {
  const cuts = design.thresholdNames.length;
  const size = cuts + design.fixedNames.length;
  if (!found.covariance) return flatProblem(design);
  return {
    design,
    logLikelihood: found.logLikelihood + design.likelihood.constant,
    ...asNamed(design, found.at, found.covariance, size, null),
    parameters: size,
    theta: new Float64Array(0),
    ranks: [],
    random: null,
    converged: found.converged,
    gradientNorm: 2 * found.gradient.reduce((largest, g) => Math.max(largest, Math.abs(g)), 0),
  };
}

function fitRandom(design: GeneralisedDesign, start: MaximumLikelihood): FittedGeneralised | ModelProblem {
  const layout = design.layout!;
  const cuts = design.thresholdNames.length;
  const before = cuts + design.fixedNames.length;
  const target = approximation(design, layout, design.model.quadraturePoints ?? 1);
  const optimum = findGeneralisedOptimum(target, layout.shape, before, (stretch) =>
    generalisedStart(design, layout, start, stretch),
  );
  if (!optimum.covariance && optimum.converged) return flatProblem(design);
  const { covariance } = optimum;
  if (!covariance) return flatProblem(design);
  const size = optimum.free.length;
  const at = optimum.at.slice(0, before);
  at.set(thresholdsOf(optimum.at, cuts));
  const effects = new Float64Array(layout.effects);
  target.randomEffects(effects);
  target.mode.factor.invert();
  return {
    design,
    logLikelihood: design.likelihood.constant - optimum.value,
    ...asNamed(design, at, covariance, size, optimum.at),
    parameters: optimum.at.length,
    theta: optimum.at.slice(before),
    ranks: optimum.ranks,
    random: {
      layout,
      effects,
      lambda: target.mode.lambda.map((own) => Float64Array.from(own)),
      factor: target.mode.factor,
      effectsBy: optimum.effectsBy,
      eta: Float64Array.from(target.mode.eta),
    },
    converged: optimum.converged,
    gradientNorm: optimum.gradientNorm,
  };
}

/**
 * Thresholds and coefficients as named, and the matrix that leads from the free parameters of the fit to them (rows:
 * thresholds, then coefficients). `logGaps` are the threshold parameters where those were fitted.
 */
function asNamed(
  { upper, means, thresholdNames, fixedNames }: GeneralisedDesign,
  at: Float64Array,
  covariance: Float64Array,
  size: number,
  logGaps: Float64Array | null,
): Pick<FittedGeneralised, 'coefficients' | 'thresholds' | 'toNamed' | 'covariance' | 'free'> {
  const cuts = thresholdNames.length;
  const p = fixedNames.length;
  const coefficients = at.slice(cuts);
  solveUpper(upper, p, coefficients);
  const toNamed = new Float64Array((cuts + p) * size);
  for (let k = 0; k < p; k++) {
    const column = new Float64Array(p);
    column[k] = 1;
    solveUpper(upper, p, column);
    for (let j = 0; j < p; j++) toNamed[(cuts + j) * size + cuts + k] = column[j]!;
  }
  const shift = new Float64Array(size);
  let moved = 0;
  for (let j = 0; j < p; j++) {
    moved += means[j]! * coefficients[j]!;
    for (let k = 0; k < size; k++) shift[k] = shift[k]! + means[j]! * toNamed[(cuts + j) * size + k]!;
  }
  const thresholds = at.slice(0, cuts).map((value) => value + moved);
  for (let t = 0; t < cuts; t++) {
    for (let k = 0; k < size; k++) toNamed[t * size + k] = shift[k]!;
    for (let k = 0; k <= t; k++) {
      const slope = logGaps ? (k === 0 ? 1 : Math.exp(logGaps[k]!)) : k === t ? 1 : 0;
      toNamed[t * size + k] = toNamed[t * size + k]! + slope;
    }
  }
  return { coefficients, thresholds, toNamed, covariance, free: size };
}

function flatProblem({ terms }: GeneralisedDesign): ModelProblem {
  return {
    kind: 'too-many-effects',
    where: terms.length > 0 ? '/random' : '/fixed',
    found:
      terms.length > 0
        ? `variances that these data cannot tell apart: ${terms.map((term) => `${term.effects.join(', ')} across ${term.group}`).join('; ')}`
        : 'effects that these data cannot tell apart',
    expected: 'each effect to show in the data in a way of its own',
    remedy: 'Take out one of the effects, often the one whose groups hold a single row or never vary.',
  };
}

function resultOf(fitted: FittedGeneralised, predict: boolean): FitResult {
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
  const notes = [...design.notes];
  if (!fitted.converged)
    notes.push(
      fitted.theta.some((theta) => Math.abs(theta) > 100)
        ? 'The variance of the random effects grows without limit: the outcome hardly varies inside the groups.'
        : 'The search for the optimum stopped before it was reached: do not use these numbers.',
    );
  const spread = overdispersionNote(fitted);
  if (spread) notes.push(spread);
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
    diagnosis: { converged: fitted.converged, gradientNorm: fitted.gradientNorm, boundary, notes },
  };
}
