/** Crossed designs: what must not change a fit does not (nested ones: invariance.test.ts). */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../src/numerics/index.ts';
import { type DataColumns, type FitResult, fitModel, type Model } from '../../../src/stats/index.ts';
import { type RandomDesign, randomCrossedDesign } from './random-designs.ts';

function fitOf(model: Model, data: DataColumns): FitResult {
  const outcome = fitModel(model, data);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  return outcome.fit.result;
}

/** The maximum, the fixed effects and the variances, those of a term found by its group. */
function expectSame(plain: FitResult, again: FitResult): void {
  expect(Math.abs(again.logLikelihood - plain.logLikelihood)).toBeLessThan(1e-7);
  plain.fixed.forEach(({ estimate, standardError }, i) => {
    expect(Math.abs(again.fixed[i]!.estimate - estimate)).toBeLessThan(1e-6 * standardError);
    expect(again.fixed[i]!.standardError / standardError).toBeCloseTo(1, 6);
  });
  for (const { group, sd } of plain.random) {
    const other = again.random.find((term) => term.group === group)!;
    sd.forEach((value, a) => {
      expect(Math.abs(other.sd[a]! - value)).toBeLessThan(1e-5 * (value + plain.residualSd));
    });
  }
}

describe('crossed groups', () => {
  // Seeds of plain scales; half of them have a third group.
  const design = fc
    .integer({ min: 200, max: 5000 })
    .map((seed) => randomCrossedDesign(4 * seed + 2 * (seed % 2)));
  const check = (change: (design: RandomDesign) => { model: Model; data: DataColumns }) =>
    fc.assert(
      fc.property(design, (one) => {
        const { model, data } = change(one);
        expectSame(fitOf(one.model, one.data), fitOf(model, data));
      }),
      { numRuns: 12, seed: 20240615 },
    );

  it('the order of the rows does not matter', () => {
    check(({ model, data }) => {
      const order = createStream(3).shuffle(Array.from(data.y!, (_, i) => i));
      return {
        model,
        data: Object.fromEntries(
          Object.entries(data).map(([name, column]) => [name, order.map((i) => column[i]!)]),
        ),
      };
    });
  });
  it('the names of the levels do not matter', () => {
    check(({ model, data }) => {
      const renamed = (column: ArrayLike<unknown>) =>
        Array.from(column, (label) => `${9 - Number(String(label).slice(1))} ${String(label)}`);
      return {
        model,
        data: {
          ...data,
          ...Object.fromEntries(
            ['a', 'b', 'c'].flatMap((name) => (data[name] ? [[name, renamed(data[name])]] : [])),
          ),
        },
      };
    });
  });
  it('the order of the random terms does not matter', () => {
    check(({ model, data }) => ({ model: { ...model, random: [...model.random!].reverse() }, data }));
  });
});
