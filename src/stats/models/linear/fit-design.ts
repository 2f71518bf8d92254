import { solveUpper, solveUpperTransposed } from '../../../numerics/index.ts';
import type { DegreesOfFreedomMethod, Fit, FitOutcome, FitResult, LevelPrediction } from '../contract.ts';
import type { Design } from '../design/design.ts';
import { effectContrasts } from '../design/effect-contrasts.ts';
import { combiner } from '../inference/combine.ts';
import { effectTestOf, estimateOf } from '../inference/estimate.ts';
import { bilinear } from '../inference/inference.ts';
import { kenwardRoger } from '../inference/kenward-roger.ts';
import type { ResidualParameters } from '../inference/residual-parameters.ts';
import { satterthwaite } from '../inference/satterthwaite.ts';
import { fixedDegreesOfFreedom } from '../inference/wald-test.ts';
import { robustInference } from '../robust/robust-inference.ts';
import { conditionalEffects } from './conditional-effects.ts';
import { affordableMethod } from './crossed/affordable-method.ts';
import { type FittedDesign, rememberState, stateOf } from './fitted-design.ts';
import { findOptimum, type SearchOptions, sharplyCurved } from './optimum.ts';
import { profiledDeviance } from './profiled-deviance.ts';
import { congruent, randomEstimates } from './random-estimates.ts';
import { varianceInformation } from './variance-information.ts';

/**
 * Fits a design. Problems are those that only the fit can see: variances the data cannot tell apart. `residual` says
 * what the whitening of the design's rows was estimated from, if it was; `near` is a fit of nearly the same data, with
 * whose variances the search begins.
 */
export function fitDesign(
  design: Design,
  predict: boolean,
  residual: ResidualParameters | null = null,
  near: Fit | null = null,
): FitOutcome {
  const { model, rows, assembled } = design;
  const { system, shape } = assembled;
  const criterion = model.criterion ?? 'reml';
  const p = design.fixedNames.length;
  const deviance = profiledDeviance(system, shape, criterion);
  const optimum = findOptimum(system, shape, deviance, startNear(near, shape.starts.at(-1)!));
  const { evaluation } = optimum;
  const notes = [...design.notes];
  const level = model.inference?.level ?? 0.95;
  const sigma = Math.sqrt(evaluation.residualSum / deviance.degrees);
  const residualSd = sigma * design.outcomeScale;

  let inference = fixedDegreesOfFreedom(evaluation.inverseInformation, rows - p);
  const { method, note } = affordableMethod(methodOf(design), deviance, optimum);
  if (note) notes.push(note);
  if (optimum.theta.length > 0) {
    const adjusted = method === 'kenward-roger';
    const information =
      adjusted || !sharplyCurved(optimum)
        ? varianceInformation(evaluation, shape, optimum.theta, rows)
        : null;
    if (information?.inverse === null && optimum.converged)
      return {
        ok: false,
        problems: [
          {
            kind: 'too-many-effects',
            where: '/random',
            found: `variances that these data cannot tell apart: ${design.terms.map((term) => `${term.effects.join(', ')} across ${term.group}`).join('; ')}; and the residual`,
            expected: 'each random effect to show in the data in a way of its own',
            remedy:
              'Take out one of the random effects, often the one whose groups hold a single row or a single sub-group.',
          },
        ],
      };
    if (adjusted && information)
      inference = kenwardRoger(evaluation.inverseInformation, p, information) ?? inference;
  }
  if (method === 'satterthwaite' && (optimum.theta.length > 0 || residual)) {
    const found = satterthwaite(optimum, shape, deviance, residual);
    if (found) inference = found;
    else
      notes.push(
        'The curvature of the likelihood at the optimum is not that of a minimum, so the residual degrees of freedom are used.',
      );
  }
  if (method === 'normal') inference = fixedDegreesOfFreedom(evaluation.inverseInformation, null);
  if (model.inference?.robust) {
    const robust = robustInference(design, sigma);
    if (!('inference' in robust)) return { ok: false, problems: robust };
    inference = robust.inference;
    notes.push(...robust.notes);
  }

  const coefficients = Float64Array.from(evaluation.beta);
  // Without random terms least squares is the answer: what the system would add to it is rounding error.
  if (design.terms.length === 0 && !residual) coefficients.fill(0);
  solveUpper(design.upper, p, coefficients);
  for (let a = 0; a < p; a++) coefficients[a] = design.start[a]! + design.outcomeScale * coefficients[a]!;
  const fitted: FittedDesign = {
    design,
    deviance,
    optimum,
    inference,
    residualSd,
    coefficients,
    level,
    method,
    residual,
  };

  const contrastOf = (weights: Float64Array): Float64Array => {
    const contrast = Float64Array.from(weights);
    solveUpperTransposed(design.upper, p, contrast);
    return contrast;
  };
  const unit = (index: number) => {
    const weights = new Float64Array(p);
    weights[index] = 1;
    return contrastOf(weights);
  };
  const units = design.fixedNames.map((_, index) => unit(index));
  const covariance = units.map((c) =>
    units.map((d) => bilinear(c, inference.covariance, d) * residualSd * residualSd),
  );
  const fixed = design.fixedNames.map((term, index) => {
    const missing = inference.missing?.(units[index]!) ?? null;
    if (missing !== null) notes.push(`${term} has no standard error: ${missing}.`);
    return {
      term,
      ...estimateOf(
        coefficients[index]!,
        missing === null ? Math.sqrt(covariance[index]![index]!) : Number.NaN,
        missing === null ? inference.degreesOfFreedom(units[index]!) : Number.NaN,
        level,
      ),
    };
  });
  const scaledBeta = Float64Array.from({ length: p }, (_, a) => {
    let sum = 0;
    for (let b = a; b < p; b++) sum += design.upper[a * p + b]! * coefficients[b]!;
    return sum / residualSd;
  });
  const tests = design.fixedEffects
    .filter(({ effect }) => effect !== 'intercept')
    .map((effect) =>
      effectTestOf(
        effect.effect,
        inference.test(effectContrasts(effect, design.fixedEffects, p).map(contrastOf), scaledBeta),
      ),
    );
  const { random, boundary } = randomEstimates(design, optimum, residualSd);
  if (method === 'satterthwaite' && boundary.length > 0)
    notes.push(
      "Satterthwaite's degrees of freedom take a variance estimated as zero, or a correlation at its limit, as known, and can be far too large then; those of kenward-roger do not.",
    );
  let logUpper = 0;
  for (let a = 0; a < p; a++) logUpper += Math.log(Math.abs(design.upper[a * p + a]!));
  const value =
    evaluation.value +
    2 * deviance.degrees * Math.log(design.outcomeScale) +
    (criterion === 'reml' ? 2 * logUpper : 0) -
    design.logWeights;
  const parameters = p + optimum.theta.length + 1 + (residual?.count ?? 0);
  if (!optimum.converged)
    notes.push(
      optimum.theta.some((theta) => Math.abs(theta) >= 1e6)
        ? 'The residual variance goes to zero against that of the random effects: the outcome hardly varies inside the groups.'
        : 'The search for the optimum stopped before it was reached: do not use these numbers.',
    );
  if (
    [...fixed, ...tests].some(
      (term) =>
        !Object.values(term)
          .flat()
          .every((v) => typeof v !== 'number' || Number.isFinite(v)),
    )
  )
    notes.push('Some degrees of freedom or tests could not be computed and are given as NaN.');
  const result: FitResult = {
    observations: rows,
    groups: Object.fromEntries(design.groupings.map(({ name, levels }) => [name, levels.length])),
    leftOut: design.leftOut,
    fixed,
    covariance,
    random,
    residualSd,
    logLikelihood: -value / 2,
    criterion: { kind: criterion, value },
    aic: value + 2 * parameters,
    bic: value + parameters * Math.log(rows),
    tests,
    ...(predict ? { predictions: levelPredictions(fitted) } : {}),
    diagnosis: { converged: optimum.converged, gradientNorm: optimum.gradientNorm, boundary, notes },
  };
  const fit: Fit = { model, result, combine: combiner(fitted) };
  rememberState(fit, fitted);
  return { ok: true, fit };
}

/** A search from where that of a like fit ended, with no variance at zero: from there it would not leave it. */
function startNear(near: Fit | null, parameters: number): SearchOptions {
  const theta = near === null ? undefined : stateOf(near)?.optimum.theta;
  if (theta?.length !== parameters) return {};
  return { start: theta.map((value) => (value === 0 ? 0.05 : value)) };
}

function methodOf(design: Design): DegreesOfFreedomMethod {
  return design.model.inference?.degreesOfFreedom ?? 'satterthwaite';
}

/** Each level's random effects with their conditional covariance given the data. */
function levelPredictions({ design, deviance, optimum, residualSd }: FittedDesign): LevelPrediction[] {
  const { system, places } = design.assembled;
  const { beta } = deviance.settle(optimum.theta);
  const { means, covariances } = conditionalEffects(system, deviance.nodes, beta);
  return design.terms.flatMap((term, t) => {
    const grouping = design.groupings.find(({ name }) => name === term.group)!;
    const { stage, node, offset } = places[t]!;
    const q = term.effects.length;
    const width = system.stages[stage]!.effects;
    return grouping.levels.map((level, l): LevelPrediction => {
      const first = offset[l]!;
      const inner = new Float64Array(q * q);
      const base = node[l]! * width * width;
      for (let a = 0; a < q; a++)
        for (let b = 0; b < q; b++)
          inner[a * q + b] = covariances[stage]![base + (first + a) * width + first + b]!;
      const covariance = congruent(term.toModel, inner, q);
      const rows = Array.from({ length: q }, (_, a) =>
        Array.from({ length: q }, (__, b) => covariance[a * q + b]! * residualSd * residualSd),
      );
      const values = Array.from({ length: q }, (_, a) => {
        let sum = 0;
        for (let k = 0; k < q; k++)
          sum += term.toModel[a * q + k]! * means[stage]![node[l]! * width + first + k]!;
        return sum * design.outcomeScale;
      });
      return {
        group: term.group,
        level,
        effects: term.effects,
        values,
        conditionalSd: rows.map((row, a) => Math.sqrt(Math.max(0, row[a]!))),
        conditionalCovariance: rows,
      };
    });
  });
}
