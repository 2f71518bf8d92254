/**
 * Thirty random crossed designs against whole-matrix formulas written in the tests (dense-oracle.ts): likelihood, no
 * better optimum by a search, Kenward and Roger's adjustment, conditional effects and combinations by Henderson's
 * mixed-model equations (Henderson 1975, Biometrics 31, 423-447).
 */
import { describe, expect, it } from 'vitest';
import { type Fit, type FitResult, fitModel } from '../../../../src/stats/index.ts';
import {
  covarianceOf,
  denseDeviance,
  denseKenwardRoger,
  denseSearch,
  derivativesOf,
  invert,
  type Matrix,
  times,
  transpose,
  zeros,
} from '../dense-oracle.ts';
import { type CrossedDesign, crossedDesign } from './crossed-designs.ts';

function fitted({ model, data }: CrossedDesign): Fit {
  const outcome = fitModel(model, data, { predict: true });
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.fit;
}

const covariancesOf = (result: FitResult): Matrix[] =>
  result.random.map(({ sd, correlation }) =>
    sd.map((a, i) => sd.map((b, j) => (a === 0 || b === 0 ? 0 : a * b * correlation[i]![j]!))),
  );

/** Covariance elements from lower factors, run through row by row, followed by the logarithm of the residual SD. */
function elementsOf({ kinds, terms }: CrossedDesign, variables: readonly number[]): number[] {
  const out: number[] = [];
  let at = 0;
  terms.forEach(({ designs }, t) => {
    const q = designs.length;
    const factor = zeros(q, q);
    const from = (a: number) => (kinds[t] === 'full' ? 0 : a);
    for (let a = 0; a < q; a++) for (let b = from(a); b <= a; b++) factor[a]![b] = variables[at++]!;
    const sigma = times(factor, transpose(factor));
    for (let a = 0; a < q; a++) for (let b = from(a); b <= a; b++) out.push(sigma[a]![b]!);
  });
  out.push(Math.exp(2 * variables[at]!));
  return out;
}

function startOf({ kinds }: CrossedDesign, sigmas: readonly Matrix[], residualSd: number): number[] {
  const out: number[] = [];
  sigmas.forEach((sigma, t) => {
    const q = sigma.length;
    const factor = zeros(q, q);
    for (let a = 0; a < q; a++)
      for (let b = kinds[t] === 'full' ? 0 : a; b <= a; b++) {
        let left = sigma[a]![b]!;
        for (let k = 0; k < b; k++) left -= factor[a]![k]! * factor[b]![k]!;
        factor[a]![b] =
          a === b ? Math.sqrt(Math.max(0, left)) : factor[b]![b]! > 1e-6 ? left / factor[b]![b]! : 0;
        out.push(factor[a]![b]!);
      }
  });
  out.push(Math.log(residualSd));
  return out;
}

/** Mean and covariance of (b - beta, u_hat - u), effects of each term level by level; u = 0 where it cannot vary. */
function henderson(design: CrossedDesign, sigmas: readonly Matrix[], residualSd: number) {
  const z = design.y.map((_, i) =>
    design.terms.flatMap(({ designs }) => designs[0]![i]!.flatMap((__, l) => designs.map((d) => d[i]![l]!))),
  );
  const size = z[0]!.length;
  const g = zeros(size, size);
  let at = 0;
  design.terms.forEach(({ designs }, t) => {
    for (let l = 0; l < designs[0]![0]!.length; l++, at += designs.length)
      sigmas[t]!.forEach((row, a) => {
        row.forEach((value, b) => {
          g[at + a]![at + b] = value;
        });
      });
  });
  // With V: beta = (X'V^-1X)^-1 X'V^-1 y, u = G Z'V^-1 (y - X beta), which need no inverse of G.
  const v = covarianceOf(design.terms, sigmas, residualSd ** 2);
  const vi = invert(v).inverse;
  const xt = transpose(design.x);
  const phi = invert(times(times(xt, vi), design.x)).inverse;
  const beta = times(times(phi, times(xt, vi)), transpose([design.y]));
  const gz = times(g, transpose(z));
  const e = design.y.map((value, i) => [value - design.x[i]!.reduce((s, a, k) => s + a * beta[k]![0]!, 0)]);
  const u = times(times(gz, vi), e);
  const given = g.map((row, i) => {
    const taken = times(times([gz[i]!], vi), transpose(gz));
    return row.map((value, j) => value - taken[0]![j]!);
  });
  const c = times(times(gz, vi), design.x);
  return { beta, u, given, phi, c };
}

const designs = Array.from({ length: 30 }, (_, i) => crossedDesign(i + 1));

describe.each(designs.map((design) => [design.name, design] as const))('%s', (_, design) => {
  it('likelihood, optimum, adjustment, conditional effects and combinations', () => {
    const fit = fitted(design);
    const { result } = fit;
    const reml = design.model.criterion === 'reml';
    expect(result.diagnosis.converged).toBe(true);
    const sigmas = covariancesOf(result);
    const v = covarianceOf(design.terms, sigmas, result.residualSd ** 2);
    const dense = denseDeviance(design.x, design.y, v, reml);
    expect(Math.abs(result.criterion.value - dense.value)).toBeLessThan(1e-8);

    const derivatives = derivativesOf(design.terms, design.kinds);
    const start = startOf(design, sigmas, result.residualSd);
    for (const from of [start, start.map((s, i) => (i === start.length - 1 ? s : 0.7))]) {
      const found = denseSearch(
        design.x,
        design.y,
        derivatives,
        (x) => elementsOf(design, x),
        reml,
        from,
        100,
      );
      expect(result.criterion.value).toBeLessThan(found + 1e-8);
    }

    if (reml) {
      const adjusted = denseKenwardRoger(design.x, v, derivatives);
      result.fixed.forEach(({ standardError, degreesOfFreedom }, i) => {
        expect(standardError / Math.sqrt(adjusted.adjusted[i]![i]!)).toBeCloseTo(1, 8);
        expect(degreesOfFreedom! / adjusted.degrees[i]!).toBeCloseTo(1, 6);
      });
    }

    const { beta, u, given, phi, c } = henderson(design, sigmas, result.residualSd);
    result.fixed.forEach(({ estimate }, i) => {
      expect(Math.abs(estimate - beta[i]![0]!)).toBeLessThan(1e-8);
    });
    let at = 0;
    design.terms.forEach(({ designs: own }, t) => {
      const { group, effects } = result.random[t]!;
      for (const level of design.levels[t]!) {
        const row = result.predictions!.find((found) => found.group === group && found.level === level)!;
        effects.forEach((effect, a) => {
          expect(Math.abs(row.values[a]! - u[at + a]![0]!)).toBeLessThan(1e-8);
          effects.forEach((__, b) => {
            expect(Math.abs(row.conditionalCovariance[a]![b]! - given[at + a]![at + b]!)).toBeLessThan(1e-8);
          });
          if (level !== design.levels[t]![0]) return;
          const combined = fit.combine({
            fixed: { intercept: 1, x: 0.5 },
            random: [{ group, level, weights: { [effect]: 1 } }],
          });
          const f = [1, 0.5].map((weight, k) => [weight - c[at + a]![k]!]);
          const variance = given[at + a]![at + a]! + times(times(transpose(f), phi), f)[0]![0]!;
          expect(
            Math.abs(combined.estimate - beta[0]![0]! - 0.5 * beta[1]![0]! - u[at + a]![0]!),
          ).toBeLessThan(1e-8);
          expect(Math.abs(combined.standardError ** 2 - variance)).toBeLessThan(1e-8);
        });
        at += own.length;
      }
    });
  });
});

it('the thirty include singular fits of crossed factors', () => {
  const singular = designs.filter((design) => fitted(design).result.diagnosis.boundary.length > 0);
  expect(singular.length).toBeGreaterThan(5);
  expect(singular.length).toBeLessThan(30);
});
