/** Exact first and second derivatives against Richardson-extrapolated differences, away from the optimum. */
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../src/numerics/index.ts';
import type { Design } from '../../../src/stats/models/design/design.ts';
import { buildDesign } from '../../../src/stats/models/design/design.ts';
import { profiledDeviance } from '../../../src/stats/models/linear/profiled-deviance.ts';
import { committedPairs, MODELS, readColumns } from './golden.ts';
import { randomDesign } from './random-designs.ts';

function differences(f: (x: Float64Array) => number, x: Float64Array, i: number): number {
  const at = (step: number) => f(x.map((value, j) => (i === j ? value + step : value)));
  const central = (h: number) => (at(h) - at(-h)) / (2 * h);
  return (4 * central(5e-4) - central(1e-3)) / 3;
}

const designs: [string, Design][] = [
  ...[3, 6, 7, 9, 14, 19, 22].map((seed): [string, Design] => {
    const { name, model, data } = randomDesign(seed);
    return [name, buildDesign(model, data) as Design];
  }),
  ...committedPairs()
    .filter(({ name }) => name.startsWith('penicillin') || name.startsWith('sleepstudy_zerocorr'))
    .map(({ name, model, data }): [string, Design] => [
      name,
      buildDesign(model, readColumns(`${MODELS}${data}`)) as Design,
    ]),
];

describe.each(designs)('%s', (_, design) => {
  it.each(['reml', 'ml'] as const)('%s', (criterion) => {
    const { system, shape } = design.assembled;
    const { evaluate } = profiledDeviance(system, shape, criterion);
    const stream = createStream(11);
    const total = shape.starts.at(-1)!;
    for (let trial = 0; trial < 3; trial++) {
      const theta = Float64Array.from({ length: total }, () => stream.normal());
      const here = evaluate(theta);
      // The next evaluation overwrites them.
      const gradient = Float64Array.from(here.gradient);
      const hessian = Float64Array.from(here.hessian);
      for (let i = 0; i < total; i++) {
        const slope = differences((x) => evaluate(x).value, theta, i);
        expect(Math.abs(gradient[i]! - slope)).toBeLessThan(1e-7 * (1 + Math.abs(slope)));
        for (let j = 0; j < total; j++) {
          const bend = differences((x) => evaluate(x).gradient[j]!, theta, i);
          expect(Math.abs(hessian[i * total + j]! - bend)).toBeLessThan(1e-6 * (1 + Math.abs(bend)));
        }
      }
    }
  });
});
