/** What must not change a fit does not, and what must change it does so by the known rule. */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../src/numerics/index.ts';
import { type DataColumns, type FitResult, fitModel, type Model } from '../../../src/stats/index.ts';
import { relative } from './golden.ts';

const model: Model = {
  outcome: 'y',
  fixed: ['intercept', { column: 'x' }, { column: 'arm', levels: ['p', 'q'] }, { product: ['x', 'arm'] }],
  random: [
    { group: 'coach', effects: ['intercept'] },
    { group: ['coach', 'golfer'], effects: ['intercept', 'x'] },
  ],
  inference: { degreesOfFreedom: 'kenward-roger' },
};

/** Two nested levels with true variation in every effect, so that no variance sits at its boundary. */
function columns(seed: number): Record<string, (number | string)[]> {
  const stream = createStream(seed, 'invariance');
  const out: Record<string, (number | string)[]> = { y: [], x: [], arm: [], coach: [], golfer: [] };
  for (let c = 0; c < 5; c++) {
    const coach = 2 * stream.normal();
    for (let g = 0; g < 4; g++) {
      const intercept = 1.5 * stream.normal();
      const slope = stream.normal();
      for (let r = 0; r < 3 + ((c + g) % 4); r++) {
        const x = stream.normal();
        out.x!.push(x);
        out.arm!.push(g % 2 === 0 ? 'p' : 'q');
        out.coach!.push(`c${c}`);
        out.golfer!.push(`g${g}`);
        out.y!.push(3 + coach + intercept + (0.5 + slope) * x + stream.normal());
      }
    }
  }
  return out;
}

function fitOf(data: DataColumns, changed: Model = model): FitResult {
  const outcome = fitModel(changed, data, { predict: true });
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  expect(outcome.fit.result.diagnosis.converged).toBe(true);
  return outcome.fit.result;
}

/** Every number of the result but the diagnosis, in a fixed order. */
function numbersOf(result: FitResult): number[] {
  return [
    ...result.fixed.flatMap((t) => [
      t.estimate,
      t.standardError,
      t.degreesOfFreedom!,
      t.pValue,
      ...t.interval,
    ]),
    ...result.random.flatMap((t) => [...t.sd, ...t.correlation.flat()]),
    ...result.tests.flatMap((t) => [t.f, t.denominatorDf!, t.pValue]),
    result.residualSd,
    result.logLikelihood,
    result.aic,
    result.bic,
  ];
}

function expectSame(found: readonly number[], expected: readonly number[], tolerance = 1e-6): void {
  expect(found.length).toBe(expected.length);
  found.forEach((value, i) => {
    expect(Math.abs(value - expected[i]!)).toBeLessThan(tolerance * (1e-3 + Math.abs(expected[i]!)));
  });
}

const seed = fc.integer({ min: 1, max: 10_000 });
const runs = { numRuns: 15, seed: 20240607 };

describe('invariance', () => {
  it('the order of the rows does not matter', () => {
    fc.assert(
      fc.property(seed, (s) => {
        const data = columns(s);
        const order = createStream(s, 'order').shuffle(data.y!.map((_, i) => i));
        const shuffled = Object.fromEntries(
          Object.entries(data).map(([n, c]) => [n, order.map((i) => c[i]!)]),
        );
        const plain = fitOf(data);
        const moved = fitOf(shuffled);
        expectSame(numbersOf(moved), numbersOf(plain));
        expectSame(
          moved.predictions!.flatMap((p) => p.values),
          plain.predictions!.flatMap((p) => p.values),
        );
        expect(moved.predictions!.map((p) => p.level)).toEqual(plain.predictions!.map((p) => p.level));
      }),
      runs,
    );
  });

  it('the names of groups do not matter', () => {
    fc.assert(
      fc.property(seed, (s) => {
        const data = columns(s);
        const renamed = {
          ...data,
          coach: data.coach!.map((name) => `Z${9 - Number(String(name).slice(1))}`),
          golfer: data.golfer!.map((name) => `${name} of the club`),
        };
        expectSame(numbersOf(fitOf(renamed)), numbersOf(fitOf(data)));
      }),
      runs,
    );
  });

  it('a nested group may be named once for all or inside its outer one', () => {
    const data = columns(4);
    const unique = data.golfer!.map((golfer, i) => `${data.coach![i]}-${golfer}`);
    const plain = fitOf(
      { ...data, golfer: unique },
      {
        ...model,
        random: [model.random![0]!, { group: 'golfer', effects: ['intercept', 'x'] }],
      },
    );
    expectSame(numbersOf(plain), numbersOf(fitOf(data)));
  });

  it('names that hold the separator do not run into each other', () => {
    const data = columns(9);
    const odd = {
      ...data,
      coach: data.coach!.map((coach) => (coach === 'c0' ? 'a' : coach === 'c1' ? 'a / b' : coach)),
      golfer: data.golfer!.map((golfer, i) => (data.coach![i] === 'c0' ? `b / ${golfer}` : golfer)),
    };
    const found = fitOf(odd);
    expect(found.groups).toEqual({ coach: 5, 'coach / golfer': 20 });
    expectSame(numbersOf(found), numbersOf(fitOf(data)));
  });

  it('scaling and shifting the outcome scales and shifts what it should', () => {
    fc.assert(
      fc.property(seed, fc.integer({ min: -6, max: 6 }), (s, power) => {
        const data = columns(s);
        const scale = 10 ** power;
        const plain = fitOf(data);
        const moved = fitOf({ ...data, y: data.y!.map((y) => 7 * scale + scale * Number(y)) });
        moved.fixed.forEach((term, i) => {
          const before = plain.fixed[i]!;
          expect(term.estimate / scale - (i === 0 ? 7 : 0)).toBeCloseTo(before.estimate, 6);
          expect(relative(term.standardError / scale, before.standardError)).toBeLessThan(1e-6);
          expect(relative(term.degreesOfFreedom!, before.degreesOfFreedom!)).toBeLessThan(1e-5);
        });
        moved.random.forEach((term, t) => {
          term.sd.forEach((sd, e) => {
            expect(relative(sd / scale, plain.random[t]!.sd[e]!)).toBeLessThan(1e-5);
          });
        });
        const degrees = plain.observations - plain.fixed.length;
        expect(moved.logLikelihood + degrees * Math.log(scale)).toBeCloseTo(plain.logLikelihood, 6);
      }),
      runs,
    );
  });

  it('scaling and shifting a column changes its slope, and the fit not at all', () => {
    fc.assert(
      fc.property(
        seed,
        fc.integer({ min: -6, max: 6 }),
        fc.integer({ min: -1000, max: 1000 }),
        (s, power, shift) => {
          const data = columns(s);
          const scale = 10 ** power;
          const plain = fitOf(data);
          const moved = fitOf({ ...data, x: data.x!.map((x) => scale * (Number(x) + shift)) });
          for (const i of [1, 3]) {
            const before = plain.fixed[i]!;
            expect(relative(moved.fixed[i]!.estimate * scale, before.estimate)).toBeLessThan(1e-5);
            expect(relative(moved.fixed[i]!.standardError * scale, before.standardError)).toBeLessThan(1e-5);
            expect(relative(moved.fixed[i]!.degreesOfFreedom!, before.degreesOfFreedom!)).toBeLessThan(1e-4);
          }
          expect(relative(moved.residualSd, plain.residualSd)).toBeLessThan(1e-6);
          expect(relative(moved.random[1]!.sd[1]! * scale, plain.random[1]!.sd[1]!)).toBeLessThan(1e-5);
          // |X' V^-1 X| of the two columns that hold x scales with x; a shift leaves it.
          expect(moved.logLikelihood + 2 * Math.log(scale)).toBeCloseTo(plain.logLikelihood, 5);
        },
      ),
      runs,
    );
  });

  it('the coding of a factor changes its columns, and neither fit nor tests', () => {
    const data = columns(8);
    const plain = fitOf(data);
    for (const coding of ['sum', 'helmert'] as const) {
      const coded = fitOf(data, {
        ...model,
        criterion: 'reml',
        fixed: [
          'intercept',
          { column: 'x' },
          { column: 'arm', levels: ['p', 'q'], coding },
          { product: ['x', 'arm'] },
        ],
      });
      expect(relative(coded.residualSd, plain.residualSd)).toBeLessThan(1e-8);
      coded.tests.forEach((test, i) => {
        expect(relative(test.f, plain.tests[i]!.f)).toBeLessThan(1e-6);
        expect(relative(test.denominatorDf!, plain.tests[i]!.denominatorDf!)).toBeLessThan(1e-5);
      });
    }
  });

  it('weights that are all equal to k act as a residual variance divided by k', () => {
    const data = columns(5);
    const plain = fitOf(data);
    const weighted = fitOf({ ...data, w: data.y!.map(() => 4) }, { ...model, weights: 'w' });
    expect(relative(weighted.residualSd, 2 * plain.residualSd)).toBeLessThan(1e-8);
    expect(relative(weighted.random[0]!.sd[0]!, plain.random[0]!.sd[0]!)).toBeLessThan(1e-6);
    expect(weighted.logLikelihood).toBeCloseTo(plain.logLikelihood, 7);
  });

  it('a missing value drops its row and nothing else', () => {
    const data = columns(6);
    const holes = { ...data, x: data.x!.map((x, i) => (i === 3 ? null : i === 10 ? Number.NaN : x)) };
    const dropped = Object.fromEntries(
      Object.entries(data).map(([n, c]) => [n, c.filter((_, i) => i !== 3 && i !== 10)]),
    );
    const found = fitOf(holes);
    expect(found.leftOut).toEqual([
      { row: 4, why: 'x is missing' },
      { row: 11, why: 'x is missing' },
    ]);
    expectSame(numbersOf(found), numbersOf(fitOf(dropped)), 1e-12);
  });

  it('the same data give the same bytes', () => {
    expect(JSON.stringify(fitOf(columns(3)))).toBe(JSON.stringify(fitOf(columns(3))));
  });
});
