/**
 * The approximated likelihood and its gradient at arbitrary parameters, against brute force (oracle.ts): the dense
 * Laplace approximation, the integral itself, and differences of either.
 */
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../../src/numerics/index.ts';
import { type Approximation, approximation } from '../../../../src/stats/models/generalised/approximation.ts';
import type { GeneralisedDesign } from '../../../../src/stats/models/generalised/generalised-design.ts';
import { thresholdsOf } from '../../../../src/stats/models/generalised/threshold-parameters.ts';
import { freePositions } from '../../../../src/stats/models/linear/covariance-shape.ts';
import { invert } from '../dense-oracle.ts';
import { KINDS, type SmallDesign, STRUCTURES, smallDesign } from './designs.ts';
import { designOf, oracleModel } from './from-fit.ts';
import { denseLaplace, integrated, type OracleModel } from './oracle.ts';

/** The oracle's model at parameters of the fit: the way from fitted to named coordinates, written out. */
function oracleAt(small: SmallDesign, design: GeneralisedDesign, psi: Float64Array): OracleModel {
  const cuts = design.thresholdNames.length;
  const p = design.fixedNames.length;
  const upper = Array.from({ length: p }, (_, a) =>
    Array.from({ length: p }, (__, b) => design.upper[a * p + b]!),
  );
  const { inverse } = invert(upper);
  const coefficients = inverse.map((row) => row.reduce((sum, x, k) => sum + x * psi[cuts + k]!, 0));
  const shift = coefficients.reduce((sum, c, k) => sum + c * design.means[k]!, 0);
  const thresholds = [...thresholdsOf(psi, cuts)].map((value) => value + shift);
  const { shape } = design.layout!;
  const factors = design.terms.map((term, t) => {
    const q = term.effects.length;
    const inner = Array.from({ length: q }, () => new Array<number>(q).fill(0));
    freePositions(shape.terms[t]!).forEach(([a, c], e) => {
      inner[a]![c] = psi[cuts + p + shape.starts[t]! + e]!;
    });
    return inner.map((_, a) =>
      inner.map((__, c) => inner.reduce((sum, row, k) => sum + term.toModel[a * q + k]! * row[c]!, 0)),
    );
  });
  return oracleModel(small, coefficients, thresholds, factors);
}

function randomParameters(target: Approximation, design: GeneralisedDesign, seed: number): Float64Array {
  const stream = createStream(seed);
  const cuts = design.thresholdNames.length;
  const p = design.fixedNames.length;
  return Float64Array.from({ length: target.parameters }, (_, k) => {
    if (k < cuts) return k === 0 ? -1 + 0.3 * stream.normal() : 0.3 * stream.normal();
    return k < cuts + p ? 0.5 * stream.normal() : 0.2 + stream.uniform();
  });
}

/** Fourth-order differences. */
function slopes(f: (x: Float64Array) => number, at: Float64Array, step = 1e-3): number[] {
  return Array.from(at, (_, k) => {
    const side = (by: number) => f(at.map((value, j) => (j === k ? value + by : value)));
    return (8 * (side(step) - side(-step)) - (side(2 * step) - side(-2 * step))) / (12 * step);
  });
}

const cases = KINDS.flatMap((kind, k) =>
  STRUCTURES.map((structure, s) => [kind, structure, 100 * k + s] as const),
);

describe('Laplace, against the dense approximation', () => {
  it.each(cases)('%s, %s', (kind, structure, seed) => {
    const small = smallDesign(kind, structure, seed);
    const design = designOf(small);
    const target = approximation(design, design.layout!, 1);
    for (let repeat = 0; repeat < 2; repeat++) {
      const psi = randomParameters(target, design, 1000 * seed + repeat);
      const { value, gradient } = target.evaluate(psi);
      const brute = (x: Float64Array) => denseLaplace(oracleAt(small, design, x)).logLikelihood;
      expect(design.likelihood.constant - value).toBeCloseTo(brute(psi), 8);
      if (repeat > 0) continue;
      const ours = slopes((x) => -target.evaluate(x).value, psi);
      ours.forEach((slope, j) => {
        expect(Math.abs(slope + gradient[j]!)).toBeLessThan(1e-7 * (1 + Math.abs(slope)));
      });
    }
  });

  it('the gradient is that of the brute-force likelihood too', () => {
    for (const structure of ['scalar', 'crossed slopes'] as const) {
      const small = smallDesign('ordinal', structure, 5);
      const design = designOf(small);
      const target = approximation(design, design.layout!, 1);
      const psi = randomParameters(target, design, 77);
      const { gradient } = target.evaluate(psi);
      slopes((x) => denseLaplace(oracleAt(small, design, x)).logLikelihood, psi).forEach((slope, j) => {
        expect(Math.abs(slope + gradient[j]!)).toBeLessThan(1e-6 * (1 + Math.abs(slope)));
      });
    }
  });

  it('a value does not depend on where the search stood before', () => {
    const small = smallDesign('count', 'crossed slopes', 11);
    const design = designOf(small);
    const fresh = approximation(design, design.layout!, 1);
    const used = approximation(design, design.layout!, 1);
    const psi = randomParameters(fresh, design, 3);
    used.evaluate(psi.map((value) => value * 3));
    used.evaluate(psi.map((value) => -value));
    expect(used.evaluate(psi).value).toBeCloseTo(fresh.evaluate(psi).value, 9);
  });
});

describe('adaptive quadrature, against the integral on a fine grid', () => {
  it.each(KINDS.map((kind, k) => [kind, 40 + k] as const))('%s', (kind, seed) => {
    const small = smallDesign(kind, 'scalar', seed);
    const design = designOf(small);
    const many = approximation(design, design.layout!, 80);
    const psi = randomParameters(many, design, seed);
    const truth = integrated(oracleAt(small, design, psi));
    const { value, gradient } = many.evaluate(psi);
    expect(design.likelihood.constant - value).toBeCloseTo(truth, 9);
    slopes((x) => integrated(oracleAt(small, design, x)), psi).forEach((slope, j) => {
      expect(Math.abs(slope + gradient[j]!)).toBeLessThan(1e-7 * (1 + Math.abs(slope)));
    });
  });

  it('with few nodes the gradient is that of the approximation, and the error falls with their number', () => {
    const small = smallDesign('binary', 'scalar', 51);
    const design = designOf(small);
    const psi = randomParameters(approximation(design, design.layout!, 1), design, 8);
    const truth = integrated(oracleAt(small, design, psi));
    const errors = [1, 3, 7, 15].map((points) => {
      const target = approximation(design, design.layout!, points);
      const { value, gradient } = target.evaluate(psi);
      slopes((x) => -target.evaluate(x).value, psi).forEach((slope, j) => {
        expect(Math.abs(slope + gradient[j]!)).toBeLessThan(1e-7 * (1 + Math.abs(slope)));
      });
      return Math.abs(design.likelihood.constant - value - truth);
    });
    for (let k = 1; k < errors.length; k++) expect(errors[k]!).toBeLessThan(0.3 * errors[k - 1]!);
  });
});
