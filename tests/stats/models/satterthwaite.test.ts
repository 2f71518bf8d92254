/**
 * Satterthwaite's degrees of freedom on unbalanced and nested designs, by whole-matrix formulas: the deviance's
 * Hessian by the covariance elements from extrapolated differences, the variance of a fixed effect and its slope
 * from n x n matrices (Giesbrecht and Burns 1985, Biometrics 41, 477-486). Designs whose optimum lies inside
 * the parameter space, where any parametrisation gives the same answer.
 */
import { describe, expect, it } from 'vitest';
import { fitModel } from '../../../src/stats/index.ts';
import {
  covarianceOf,
  denseDeviance,
  derivativesOf,
  invert,
  type Matrix,
  quickDeviance,
  times,
  transpose,
} from './dense-oracle.ts';
import { randomDesign } from './random-designs.ts';

/** Second derivatives of f at x by central differences, once extrapolated. */
function hessianOf(f: (x: number[]) => number, x: readonly number[]): Matrix {
  const steps = x.map((value) => 2e-2 * Math.max(Math.abs(value), 0.02));
  const at = (i: number, a: number, j: number, b: number, h: number) => {
    const moved = [...x];
    moved[i]! += a * h * steps[i]!;
    moved[j]! += b * h * steps[j]!;
    return f(moved);
  };
  const once = (i: number, j: number, h: number) =>
    (at(i, 1, j, 1, h) - at(i, 1, j, -1, h) - at(i, -1, j, 1, h) + at(i, -1, j, -1, h)) /
    (4 * h * h * steps[i]! * steps[j]!);
  return x.map((_, i) => x.map((__, j) => (4 * once(i, j, 0.25) - once(i, j, 0.5)) / 3));
}

const interior = Array.from({ length: 120 }, (_, i) => i + 1)
  .map((seed) => ({ design: randomDesign(seed), seed }))
  .filter(({ design }) => design.y.length < 70 && design.outcomeScale === 1 && design.columnScale === 1)
  .flatMap(({ design }) => {
    const outcome = fitModel(
      { ...design.model, inference: { degreesOfFreedom: 'satterthwaite' } },
      design.data,
    );
    return outcome.ok && outcome.fit.result.diagnosis.boundary.length === 0
      ? [{ design, result: outcome.fit.result }]
      : [];
  });

describe('designs inside the parameter space', () => {
  it('there are enough of them, some nested', () => {
    expect(interior.length).toBeGreaterThanOrEqual(12);
    expect(interior.some(({ design }) => design.terms.length > 1)).toBe(true);
  });

  it.each(interior.map(({ design, result }) => [design.name, design, result] as const))(
    '%s',
    (_, design, result) => {
      const reml = design.model.criterion === 'reml';
      const sigmas = result.random.map(({ sd, correlation }) =>
        sd.map((a, i) => sd.map((b, j) => a * b * correlation[i]![j]!)),
      );
      const derivatives = derivativesOf(design.terms, design.kinds);
      const elements: number[] = [];
      sigmas.forEach((sigma, t) => {
        for (let a = 0; a < sigma.length; a++)
          for (let b = design.kinds[t] === 'full' ? 0 : a; b <= a; b++) elements.push(sigma[a]![b]!);
      });
      elements.push(result.residualSd ** 2);
      const hessian = hessianOf((x) => quickDeviance(design.x, design.y, derivatives, x, reml), elements);
      const spread = invert(hessian).inverse.map((row) => row.map((value) => 2 * value));
      const v = covarianceOf(design.terms, sigmas, result.residualSd ** 2);
      const { phi, inverse } = denseDeviance(design.x, design.y, v, reml);
      const slopes = derivatives.map((g) => {
        const middle = times(times(transpose(design.x), times(times(inverse, g), inverse)), design.x);
        return times(times(phi, middle), phi);
      });
      result.fixed.forEach(({ degreesOfFreedom }, c) => {
        const gradient = slopes.map((slope) => [slope[c]![c]!]);
        const variance = times(transpose(gradient), times(spread, gradient))[0]![0]!;
        expect(degreesOfFreedom! / ((2 * phi[c]![c]! ** 2) / variance)).toBeCloseTo(1, 3);
      });
    },
  );
});
