import { symmetricEigen } from '../../../numerics/index.ts';
import type { Fit, FitResult, RandomEstimate } from '../contract.ts';
import type { Design } from '../design/design.ts';
import { effectContrasts } from '../design/effect-contrasts.ts';
import { effectTestOf, estimateOf } from '../inference/estimate.ts';
import { bilinear } from '../inference/inference.ts';
import { boundaryWords, congruent } from '../linear/random-estimates.ts';
import type { JointData } from './joint-data.ts';
import type { JointInference } from './joint-inference.ts';
import type { JointParameters } from './joint-parameters.ts';
import type { PredictorMoments } from './start-moments.ts';

interface Search {
  readonly converged: boolean;
  readonly value: number;
  readonly gradientNorm: number;
  /** How many variables were searched over. */
  readonly variables: number;
  readonly moments: PredictorMoments;
  readonly column: string;
}

/** An SD below this share of the residual SD is zero. */
const ZERO_SD = 1e-4;

/** The result in the units of the data, and the contrasts that can be asked of it. */
export function describeFit(
  design: Design,
  data: JointData,
  parameters: JointParameters,
  { coefficients, inference, notes }: JointInference,
  search: Search,
): Fit {
  const { model, rows } = design;
  const p = design.fixedNames.length;
  const level = model.inference?.level ?? 0.95;
  const unit = (index: number) => Float64Array.from({ length: p }, (_, a) => (a === index ? 1 : 0));
  const residualSd = parameters.residual * data.outcomeScale;
  const { random, boundary } = describeRandom(data, parameters);
  const count = p + data.otherCount + search.variables - data.terms.length;
  const { within, between } = parameters;
  const trueWithin = within * data.predictorScale;
  const { error } = search.moments;
  if (trueWithin ** 2 < 1e-6 * error)
    boundary.push(
      `The spread of the true ${search.column} inside the groups is estimated as next to nothing beside its measurement error: its slope cannot be told.`,
    );
  if (parameters.residual < 1e-3)
    boundary.push(
      `The measurement error of ${search.column} leaves next to nothing of the outcome's own residual variation.`,
    );
  const result: FitResult = {
    observations: rows,
    groups: Object.fromEntries(design.groupings.map(({ name, levels }) => [name, levels.length])),
    leftOut: design.leftOut,
    fixed: design.fixedNames.map((term, index) => ({
      term,
      ...estimateOf(
        coefficients[index]!,
        Math.sqrt(inference.covariance[index * p + index]!),
        inference.degreesOfFreedom(unit(index)),
        level,
      ),
    })),
    covariance: design.fixedNames.map((_, a) =>
      design.fixedNames.map((__, b) => inference.covariance[a * p + b]!),
    ),
    random,
    residualSd,
    predictorError: {
      column: search.column,
      errorSd: Math.sqrt(error),
      trueSd: trueWithin,
      trueSdBetween: data.grouped ? Math.abs(between) * data.predictorScale : null,
      reliability: trueWithin ** 2 / (trueWithin ** 2 + error),
    },
    logLikelihood: -search.value / 2,
    criterion: { kind: model.criterion ?? 'reml', value: search.value },
    aic: search.value + 2 * count,
    bic: search.value + count * Math.log(rows),
    tests: design.fixedEffects
      .filter(({ effect }) => effect !== 'intercept')
      .map((effect) =>
        effectTestOf(
          effect.effect,
          inference.test(effectContrasts(effect, design.fixedEffects, p), coefficients),
        ),
      ),
    diagnosis: {
      converged: search.converged && boundary.every((words) => !words.includes('cannot be told')),
      gradientNorm: search.gradientNorm,
      boundary,
      notes: [
        ...design.notes,
        ...notes,
        `The likelihood, AIC and BIC are those of ${model.outcome} and ${search.column} together: compare them only with fits of the same kind.`,
        ...(search.converged
          ? []
          : ['The search for the optimum stopped before it was reached: do not use these numbers.']),
      ],
    },
  };
  return {
    model,
    result,
    combine(combination, asked = level) {
      if (combination.random && combination.random.length > 0)
        throw new Error(
          'combine: with errorSd a level of a group cannot be combined in; ask fitModel for predictions',
        );
      const weights = new Float64Array(p);
      for (const [term, weight] of Object.entries(combination.fixed)) {
        const at = design.fixedNames.indexOf(term);
        if (at < 0)
          throw new Error(`combine: no fixed term ${term}; the terms are ${design.fixedNames.join(', ')}`);
        weights[at] = weight;
      }
      return estimateOf(
        weights.reduce((sum, weight, a) => sum + weight * coefficients[a]!, 0),
        Math.sqrt(bilinear(weights, inference.covariance, weights)),
        inference.degreesOfFreedom(weights),
        asked,
      );
    },
  };
}

/** The covariance of one random term in the outcome's unit, its effects as the model names them. */
export function termCovariance(
  data: JointData,
  { covariance }: JointParameters,
  first: number,
  t: number,
): Float64Array {
  const { effects, toModel } = data.randomTerms[t]!;
  const q = effects.length;
  const inner = new Float64Array(q * q);
  for (let a = 0; a < q; a++)
    for (let b = 0; b < q; b++)
      inner[a * q + b] = covariance[(first + a) * data.randomCount + first + b]! * data.outcomeScale ** 2;
  return congruent(toModel, inner, q);
}

function describeRandom(
  data: JointData,
  parameters: JointParameters,
): { random: RandomEstimate[]; boundary: string[] } {
  const boundary: string[] = [];
  let first = 0;
  const random = data.randomTerms.map(({ group, effects, kind, toModel }, t): RandomEstimate => {
    const q = effects.length;
    const covariance = termCovariance(data, parameters, first, t);
    const inner = new Float64Array(q * q);
    for (let a = 0; a < q; a++)
      for (let b = 0; b < q; b++)
        inner[a * q + b] = parameters.covariance[(first + a) * data.randomCount + first + b]!;
    first += q;
    const least = (ZERO_SD * parameters.residual) ** 2;
    const sd = effects.map((_, a) => {
      let reach = 0;
      for (let k = 0; k < q; k++) reach += toModel[a * q + k]! ** 2;
      const variance = covariance[a * q + a]!;
      return variance > least * reach * data.outcomeScale ** 2 ? Math.sqrt(variance) : 0;
    });
    const correlation = effects.map((_, a) =>
      effects.map((__, b) => {
        if (a === b) return 1;
        if (sd[a] === 0 || sd[b] === 0 || kind === 'diagonal') return 0;
        const r = covariance[a * q + b]! / (sd[a]! * sd[b]!);
        return Math.abs(r) > 1 - 1e-7 ? Math.sign(r) : r;
      }),
    );
    const rank = symmetricEigen(inner, q).values.filter((value) => value > least).length;
    boundary.push(...boundaryWords(group, effects, kind, sd, correlation, rank));
    return { group, effects, sd, correlation };
  });
  return { random, boundary };
}
