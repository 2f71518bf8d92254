import { expect } from 'vitest';
import { type FitResult, fitModel } from '../../../src/stats/index.ts';
import {
  covarianceOf,
  denseDeviance,
  denseKenwardRoger,
  denseSearch,
  derivativesOf,
  type Matrix,
  times,
  transpose,
  zeros,
} from './dense-oracle.ts';
import type { RandomDesign } from './random-designs.ts';

/** The fit's covariance of each term, brought back to the plain scales of the design. */
function plainCovariances(design: RandomDesign, result: FitResult): Matrix[] {
  return result.random.map(({ sd, correlation, effects }) => {
    const sigma = sd.map((a, i) =>
      sd.map((b, j) => (a * b * correlation[i]![j]!) / design.outcomeScale ** 2),
    );
    const back = zeros(sd.length, sd.length);
    effects.forEach((effect, a) => {
      back[a]![a] = effect === 'x' ? design.columnScale : 1;
      if (effect === 'x') back[0]![a] = design.columnShift;
    });
    return times(times(back, sigma), transpose(back));
  });
}

/** Covariance elements from the entries of the terms' factors followed by the logarithm of the residual SD. */
function elementsOf(design: RandomDesign, variables: readonly number[]): number[] {
  const out: number[] = [];
  let at = 0;
  design.effects.forEach((effects, t) => {
    const q = effects.length;
    const full = design.kinds[t] === 'full';
    const factor = zeros(q, q);
    for (let a = 0; a < q; a++) for (let b = full ? 0 : a; b <= a; b++) factor[a]![b] = variables[at++]!;
    const sigma = times(factor, transpose(factor));
    for (let a = 0; a < q; a++) for (let b = full ? 0 : a; b <= a; b++) out.push(sigma[a]![b]!);
  });
  out.push(Math.exp(2 * variables[at]!));
  return out;
}

/** Factor entries of semidefinite matrices, as a start for the search. */
function variablesOf(design: RandomDesign, sigmas: readonly Matrix[], residualSd: number): number[] {
  const out: number[] = [];
  sigmas.forEach((sigma, t) => {
    const q = sigma.length;
    const factor = zeros(q, q);
    for (let a = 0; a < q; a++)
      for (let b = design.kinds[t] === 'full' ? 0 : a; b <= a; b++) {
        let left = sigma[a]![b]!;
        if (design.kinds[t] === 'full') for (let k = 0; k < b; k++) left -= factor[a]![k]! * factor[b]![k]!;
        factor[a]![b] =
          a === b ? Math.sqrt(Math.max(0, left)) : factor[b]![b]! > 1e-6 ? left / factor[b]![b]! : 0;
        out.push(factor[a]![b]!);
      }
  });
  out.push(Math.log(residualSd));
  return out;
}

/**
 * Holds a fit of the design to the whole-matrix likelihood, to a search on it (from the fit and from elsewhere), and to
 * Kenward and Roger's formulas.
 */
export function checkAgainstDense(design: RandomDesign): void {
  const outcome = fitModel(design.model, design.data);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  const { result } = outcome.fit;
  const reml = design.model.criterion === 'reml';
  expect(result.diagnosis.converged).toBe(true);
  const sigmas = plainCovariances(design, result);
  const residualSd = result.residualSd / design.outcomeScale;
  const v = covarianceOf(design.terms, sigmas, residualSd ** 2);
  const dense = denseDeviance(design.x, design.y, v, reml);
  const ours = result.criterion.value + design.devianceShift;
  expect(Math.abs(ours - dense.value)).toBeLessThan(1e-8);

  const derivatives = derivativesOf(design.terms, design.kinds);
  const start = variablesOf(design, sigmas, residualSd);
  const away = start.map((__, i) => (i === start.length - 1 ? 0 : 0.7));
  for (const from of [start, away]) {
    const found = denseSearch(design.x, design.y, derivatives, (x) => elementsOf(design, x), reml, from, 120);
    expect(ours).toBeLessThan(found + 1e-8);
  }

  // The intercept of a shifted column means something else; every other term is only rescaled.
  const shifted = design.columnShift !== 0;
  const scale = (i: number) => design.outcomeScale / (i === 1 ? design.columnScale : 1);
  result.fixed.forEach(({ estimate, standardError }, i) => {
    if (shifted && i === 0) return;
    expect(Math.abs(estimate / scale(i) - dense.beta[i]!)).toBeLessThan(
      1e-7 * (1 + Math.abs(dense.beta[i]!)),
    );
    if (!reml) expect(standardError / scale(i) / Math.sqrt(dense.phi[i]![i]!)).toBeCloseTo(1, 8);
  });
  if (!reml) return;
  const adjusted = denseKenwardRoger(design.x, v, derivatives);
  result.fixed.forEach(({ standardError, degreesOfFreedom }, i) => {
    if (shifted && i === 0) return;
    expect(standardError / scale(i) / Math.sqrt(adjusted.adjusted[i]![i]!)).toBeCloseTo(1, 8);
    expect(degreesOfFreedom! / adjusted.degrees[i]!).toBeCloseTo(1, 7);
  });
}
