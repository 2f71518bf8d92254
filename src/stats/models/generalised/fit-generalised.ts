import type { DataColumns, Fit, FitOutcome, Model, ModelProblem } from '../contract.ts';
import { approximation } from './approximation.ts';
import { buildGeneralisedDesign } from './build-generalised-design.ts';
import { generalisedCombiner } from './combine-generalised.ts';
import { decidingGroup } from './fit-notes.ts';
import type { FittedGeneralised } from './fitted-generalised.ts';
import type { GeneralisedDesign } from './generalised-design.ts';
import { generalisedResult } from './generalised-result.ts';
import { type MaximumLikelihood, maximumLikelihood } from './maximum-likelihood.ts';
import { namedParameters } from './named-parameters.ts';
import { findGeneralisedOptimum } from './optimum.ts';
import { separationProblem } from './separation.ts';
import { generalisedStart } from './start-values.ts';
import { thresholdsOf } from './threshold-parameters.ts';

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
  if (!plain) return { ok: false, problems: [beyondProblem(design)] };
  if ('direction' in plain)
    return { ok: false, problems: [separationProblem(design, kept, plain.direction)] };
  const fitted = design.layout ? fitRandom(design, plain) : fitPlain(design, plain);
  if (!('design' in fitted)) return { ok: false, problems: [fitted] };
  const fit: Fit = {
    model,
    result: generalisedResult(fitted, predict),
    combine: generalisedCombiner(fitted),
  };
  return { ok: true, fit };
}

function fitPlain(design: GeneralisedDesign, found: MaximumLikelihood): FittedGeneralised | ModelProblem {
  const cuts = design.thresholdNames.length;
  const size = cuts + design.fixedNames.length;
  if (!found.covariance) return flatProblem(design);
  return {
    design,
    logLikelihood: found.logLikelihood + design.likelihood.constant,
    ...namedParameters(design, found.at, found.covariance, size, null),
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
  if (!optimum) return beyondProblem(design);
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
    ...namedParameters(design, at, covariance, size, optimum.at),
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
    converged: optimum.converged && decidingGroup(design) === null,
    gradientNorm: optimum.gradientNorm,
  };
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

function beyondProblem({ model }: GeneralisedDesign): ModelProblem {
  return {
    kind: 'bad-outcome',
    where: model.offset === undefined ? '/outcome' : '/offset',
    found: 'rows so far apart that their probabilities cannot be computed together',
    expected:
      model.offset === undefined
        ? 'outcomes within some hundred powers of e'
        : 'an offset on the scale of the effects: log odds, or the logarithm of the exposure',
    remedy:
      model.offset === undefined
        ? 'Check the column.'
        : 'Take the logarithm of the offset, or check its unit.',
  };
}
