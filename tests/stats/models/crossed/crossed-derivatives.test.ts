/**
 * The deviance of larger crossed designs: the gradient by the sparse inverse against the one by whole columns and against
 * differences of the value; the average information; singular factors; rows permuted, levels relabelled.
 */
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../../src/numerics/index.ts';
import { type DataColumns, fitModel, type Model } from '../../../../src/stats/index.ts';
import { buildDesign } from '../../../../src/stats/models/design/design.ts';
import { isCrossed } from '../../../../src/stats/models/linear/crossed/crossed-system.ts';
import { differencedCurvature } from '../../../../src/stats/models/linear/crossed/differenced-curvature.ts';
import { effectTraces } from '../../../../src/stats/models/linear/crossed/effect-traces.ts';
import { frontFactor } from '../../../../src/stats/models/linear/crossed/front-factor.ts';
import { scaledProducts } from '../../../../src/stats/models/linear/crossed/scaled-products.ts';
import { profiledDeviance } from '../../../../src/stats/models/linear/profiled-deviance.ts';

/** Golfers in sessions, of whom some change instructor, on courses; a slope in golfers and instructors. */
function lessons(
  golfers: number,
  instructors: number,
  each: number,
  seed: number,
): Record<string, (string | number)[]> {
  const stream = createStream(seed, 'lessons');
  const effects = (count: number, sd: number) => Array.from({ length: count }, () => sd * stream.normal());
  const [g0, g1, i0, i1, c0] = [
    effects(golfers, 1.2),
    effects(golfers, 0.5),
    effects(instructors, 0.8),
    effects(instructors, 0.4),
    effects(7, 0.5),
  ] as const;
  const columns: Record<string, (string | number)[]> = {
    y: [],
    x: [],
    golfer: [],
    instructor: [],
    course: [],
  };
  for (let g = 0; g < golfers; g++) {
    const own = [0, 0].map(() => Math.floor(stream.uniform() * instructors));
    for (let k = 0; k < each; k++) {
      const i = own[stream.uniform() < 0.8 ? 0 : 1]!;
      const c = Math.floor(stream.uniform() * 7);
      const x = stream.normal();
      columns.x!.push(x);
      columns.golfer!.push(`G${g}`);
      columns.instructor!.push(`I${i}`);
      columns.course!.push(`C${c}`);
      columns.y!.push(1 + g0[g]! + i0[i]! + c0[c]! + x * (0.3 + g1[g]! + i1[i]!) + stream.normal());
    }
  }
  return columns;
}

const model: Model = {
  outcome: 'y',
  fixed: ['intercept', { column: 'x' }],
  random: [
    { group: 'golfer', effects: ['intercept', 'x'] },
    { group: 'instructor', effects: ['intercept', 'x'] },
    { group: 'course', effects: ['intercept'] },
  ],
  inference: { degreesOfFreedom: 'satterthwaite' },
};

function designOf(data: DataColumns) {
  const design = buildDesign(model, data);
  if (!('assembled' in design)) throw new Error(JSON.stringify(design));
  return design.assembled;
}

function devianceOf(data: DataColumns) {
  const { system, shape } = designOf(data);
  return profiledDeviance(system, shape, 'reml');
}

describe('three hundred golfers, forty instructors, seven courses', () => {
  const deviance = devianceOf(lessons(300, 40, 8, 3));
  const points: [string, number[]][] = [
    ['inside', [1.1, 0.2, 0.5, 0.8, -0.1, 0.4, 0.5]],
    ['a slope that depends on the intercept', [1.1, 0.2, 0.5, 0.8, -0.1, 0, 0.5]],
    ['a factor without variance', [1.1, 0.2, 0.5, 0, 0, 0, 0.5]],
    ['variances of very different size', [3, -1, 1e-4, 0.02, 0.01, 0.001, 20]],
  ];

  it.each(points)('%s', (_, at) => {
    const theta = Float64Array.from(at);
    const rough = deviance.evaluate(theta);
    expect(rough.eliminated.curvatureKnown).toBe(false);
    const byElement = Float64Array.from(rough.gradientByElement);
    const gradient = Float64Array.from(rough.gradient);
    const exact = deviance.evaluate(theta, true);
    expect(exact.eliminated.curvatureKnown).toBe(true);
    exact.gradientByElement.forEach((value, i) => {
      expect(Math.abs(byElement[i]! - value)).toBeLessThan(1e-7 * (1 + Math.abs(value)));
    });
    theta.forEach((value, i) => {
      const moved = (by: number) =>
        deviance.evaluate(theta.map((old, j) => (j === i ? old + by : old))).value;
      const h = 1e-3 * Math.max(Math.abs(value), 0.01);
      const slope = (8 * (moved(h) - moved(-h)) - (moved(2 * h) - moved(-2 * h))) / (12 * h);
      expect(Math.abs(gradient[i]! - slope)).toBeLessThan(1e-5 * (1 + Math.abs(slope)));
    });
  });

  it('the exact Hessian against differences of the gradient', () => {
    const theta = Float64Array.from(points[0]![1]);
    const m = theta.length;
    const hessian = Float64Array.from(deviance.evaluate(theta, true).hessian);
    const largest = Math.max(...hessian.map(Math.abs));
    for (let i = 0; i < m; i++) {
      const moved = (by: number) =>
        Float64Array.from(deviance.evaluate(theta.map((old, j) => (j === i ? old + by : old))).gradient);
      const h = 1e-3;
      const [a, b, c, d] = [moved(h), moved(-h), moved(2 * h), moved(-2 * h)] as const;
      for (let j = 0; j < m; j++) {
        const slope = (8 * (a[j]! - b[j]!) - (c[j]! - d[j]!)) / (12 * h);
        expect(Math.abs(hessian[i * m + j]! - slope)).toBeLessThan(1e-6 * largest);
      }
    }
  });
});

it('second derivatives by differences are those of the whole sums', () => {
  const { system, shape } = designOf(lessons(90, 15, 6, 21));
  if (!isCrossed(system)) throw new Error('the design should be crossed');
  const { stages, tree } = system;
  const theta = Float64Array.of(0.9, 0.3, 0.4, 1.5, -0.5, 0.2, 0.05);
  const m = theta.length;
  const factors = stages.map(({ effects }) => new Float64Array(effects ** 2));
  shape.fillFactors(
    theta,
    factors,
    stages.map(({ effects }) => effects),
  );
  const factor = frontFactor(tree);
  const products = scaledProducts(system, tree);
  const traces = effectTraces(system, tree, products, factor);
  const refactor = (at: readonly Float64Array[]) => {
    factor.clear();
    products.fill(factor, at);
    return factor.factor();
  };
  const found = differencedCurvature(stages, factors, (at, by) => {
    const finite = Number.isFinite(refactor(at));
    traces.first(at, by);
    return finite;
  })!;
  refactor(factors);
  const whole = new Float64Array(m * m);
  traces.both(factors, new Float64Array(m), whole);
  for (let i = 0; i < m; i++)
    for (let j = 0; j < m; j++)
      expect(
        Math.abs(found[i * m + j]! - whole[i * m + j]!) / Math.sqrt(whole[i * m + i]! * whole[j * m + j]!),
      ).toBeLessThan(1e-7);
  factors[1]![3] = 0;
  expect(differencedCurvature(stages, factors, () => true)).toBeNull();
});

it('the search by average information ends where the exact gradient vanishes', () => {
  const data = lessons(250, 60, 6, 11);
  const outcome = fitModel(model, data);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  const { diagnosis } = outcome.fit.result;
  expect(diagnosis.converged).toBe(true);
  expect(diagnosis.gradientNorm).toBeLessThan(1e-4);
});

it('permuting rows and relabelling levels changes nothing', () => {
  const data = lessons(60, 12, 5, 5);
  const n = data.y!.length;
  const stream = createStream(8);
  const order = Array.from({ length: n }, (_, i) => [stream.uniform(), i] as const)
    .sort(([a], [b]) => a - b)
    .map(([, i]) => i);
  const other: DataColumns = Object.fromEntries(
    Object.entries(data).map(([name, values]) => [
      name,
      order.map((i) =>
        name === 'golfer' || name === 'instructor'
          ? `${1000 - Number(String(values[i]).slice(1))}z`
          : values[i]!,
      ),
    ]),
  );
  const [first, second] = [data, other].map((columns) => {
    const outcome = fitModel(model, columns);
    if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
    return outcome.fit.result;
  });
  expect(Math.abs(first!.logLikelihood - second!.logLikelihood)).toBeLessThan(1e-9);
  first!.fixed.forEach((term, i) => {
    const same = second!.fixed[i]!;
    expect(same.estimate).toBeCloseTo(term.estimate, 9);
    expect(same.standardError).toBeCloseTo(term.standardError, 9);
    expect(same.degreesOfFreedom! / term.degreesOfFreedom!).toBeCloseTo(1, 6);
  });
  first!.random.forEach(({ sd }, t) => {
    sd.forEach((value, a) => {
      expect(second!.random[t]!.sd[a]!).toBeCloseTo(value, 7);
    });
  });
});

it('groups crossed too closely are refused with their size, the memory and a remedy', () => {
  const stream = createStream(2);
  const n = 60000;
  const draw = () => Array.from({ length: n }, () => `L${Math.floor(stream.uniform() * 9000)}`);
  const outcome = fitModel(
    {
      outcome: 'y',
      fixed: ['intercept'],
      random: [
        { group: 'a', effects: ['intercept'] },
        { group: 'b', effects: ['intercept'] },
      ],
    },
    { y: Array.from({ length: n }, () => stream.normal()), a: draw(), b: draw() },
  );
  if (outcome.ok) throw new Error('should have been refused');
  expect(outcome.problems).toHaveLength(1);
  const [problem] = outcome.problems;
  expect(problem!.found).toMatch(/^a \(\d+ levels\), b \(\d+ levels\): .* \d+ of their effects .* GiB/);
  expect(problem!.remedy).toContain('Leave out');
});
