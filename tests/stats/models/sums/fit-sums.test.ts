/**
 * The fit from sums against the fit from rows (itself held to golden pairs and a dense oracle elsewhere), to 8 digits:
 * golden data, random nested designs, and columns a million times their spread away from zero.
 */
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../../src/numerics/index.ts';
import {
  type DataColumns,
  explainedVariance,
  fitModel,
  fitSums,
  influence,
  type Model,
  planSums,
  residualDiagnostics,
} from '../../../../src/stats/index.ts';
import { sharedReference } from '../../../reference/shared.ts';
import { committedPairs, MODELS, readColumns, readPair } from '../golden.ts';
import { expectSameFit, resultOf } from './same-fit.ts';
import { planOf, sumsOfRows } from './sums-of-rows.ts';

const pairs = committedPairs().filter(
  ({ name, model }) => model.residual === undefined && !name.startsWith('penicillin'),
);
const folderOf = (path: string) => path.slice(0, path.lastIndexOf('/'));

function wordColumns(data: DataColumns): string[] {
  return Object.keys(data).filter((name) => Number.isNaN(Number(data[name]![0])));
}

function bothWays(model: Model, data: DataColumns): void {
  const plan = planOf(model, wordColumns(data));
  const options = { predict: true };
  expectSameFit(
    resultOf(fitSums(plan, sumsOfRows(plan, data), options)),
    resultOf(fitModel(model, data, options)),
  );
}

describe('golden data, from sums as from rows', () => {
  for (const pair of pairs) {
    const data = readColumns(`${MODELS}${pair.data}`);
    for (const degreesOfFreedom of ['satterthwaite', 'kenward-roger'] as const) {
      if (degreesOfFreedom === 'kenward-roger' && pair.model.criterion === 'ml') continue;
      it(`${pair.name}, ${degreesOfFreedom}`, () => {
        bothWays({ ...pair.model, inference: { degreesOfFreedom } }, data);
      });
    }
  }
  const pupils = sharedReference('models/egsingle_slopes_REML.json');
  it.skipIf(pupils === null)('pupils in schools, 7,230 rows', () => {
    const pair = readPair(folderOf(pupils!), 'egsingle_slopes_REML');
    bothWays(pair.model, readColumns(`${folderOf(pupils!)}/${pair.data}`));
  });
});

/** Golfers, sessions in them and swings in those, unbalanced; a factor, two numbers, gaps. */
function nested(
  seed: number,
  shift: number,
  spread: number,
): { data: Record<string, (number | string | null)[]> } {
  const stream = createStream(seed, 'nested design for sums');
  const data: Record<string, (number | string | null)[]> = {
    g: [],
    s: [],
    arm: [],
    x: [],
    z: [],
    w: [],
    o: [],
    y: [],
  };
  const golfers = 5 + Math.floor(4 * stream.uniform());
  for (let g = 0; g < golfers; g++) {
    const level = stream.normal();
    const slope = 0.5 * stream.normal();
    for (let s = 0; s < 2 + (g % 2); s++) {
      const session = stream.normal();
      const size = 3 + Math.floor(5 * stream.uniform());
      for (let i = 0; i < size; i++) {
        const x = stream.normal() + 0.5 * level;
        const z = stream.normal();
        const arm = ['p', 'q', 'r'][(g + i) % 3]!;
        const o = stream.normal();
        const y = level + session + slope * x + z + (arm === 'q' ? 1 : 0) + stream.normal() + o;
        data.g!.push(`G${g}`);
        data.s!.push(`S${s}`);
        data.arm!.push(stream.uniform() < 0.03 ? null : arm);
        data.x!.push(shift + spread * x);
        data.z!.push(stream.uniform() < 0.03 ? null : z);
        data.w!.push(0.5 + stream.uniform());
        data.o!.push(o);
        data.y!.push(shift + spread * y);
      }
    }
  }
  return { data };
}

const shapes: readonly Model[] = [
  {
    outcome: 'y',
    fixed: ['intercept', { column: 'x' }, { column: 'arm', coding: 'sum' }, { product: ['x', 'arm'] }],
    random: [
      { group: 'g', effects: ['intercept', 'x'] },
      { group: ['g', 's'], effects: ['intercept'] },
    ],
  },
  {
    outcome: 'y',
    fixed: [
      'intercept',
      { column: 'x', within: 'g' },
      { column: 'x', between: 'g' },
      { column: 'z', power: 2 },
      { column: 'z' },
    ],
    random: [{ group: 'g', effects: ['intercept', 'z'], covariance: 'diagonal' }],
    weights: 'w',
    criterion: 'ml',
  },
  {
    outcome: 'y',
    fixed: ['intercept', { column: 'x' }, { column: 'z' }, { product: ['x', 'z'] }],
    random: [{ group: ['g', 's'], effects: ['intercept', { column: 'arm', level: 'q' }] }],
    offset: 'o',
  },
  {
    outcome: 'y',
    fixed: ['intercept', { column: 'x' }, { column: 'arm', levels: ['r', 'p'] }],
    weights: 'w',
  },
];

describe('random nested designs', () => {
  it('from sums as from rows, whatever the origin and scale of the columns', () => {
    fc.assert(
      fc.property(
        fc.integer({ min: 1, max: 1e6 }),
        fc.constantFrom(...shapes),
        fc.constantFrom([0, 1], [1e6, 1], [-3e4, 1e-2], [0, 1e5]),
        (seed, model, [shift, spread]) => {
          const { data } = nested(seed, shift!, spread!);
          const rows = fitModel(model, data, { predict: true });
          const plan = planOf(model, ['arm']);
          const sums = fitSums(plan, sumsOfRows(plan, data), { predict: true });
          expect(sums.ok).toBe(rows.ok);
          // A variance at zero is reached from one side or the other of what rounding decides.
          if (!rows.ok || !sums.ok || rows.fit.result.diagnosis.boundary.length > 0) return;
          expectSameFit(sums.fit.result, rows.fit.result);
          const combination = {
            fixed: { intercept: 1 },
            ...(model.random
              ? {
                  random: [
                    {
                      group: rows.fit.result.random[0]!.group,
                      level: rows.fit.result.predictions![0]!.level,
                      weights: { intercept: 1 },
                    },
                  ],
                }
              : {}),
          };
          const one = rows.fit.combine(combination);
          const other = sums.fit.combine(combination);
          expect(Math.abs(other.estimate - one.estimate)).toBeLessThan(
            1e-8 * (Math.abs(one.estimate) + one.standardError),
          );
          expect(Math.abs(other.standardError / one.standardError - 1)).toBeLessThan(1e-8);
        },
      ),
      { numRuns: 60, seed: 20 },
    );
  });

  it('the order of the cells and a centre of its own for each golfer do not matter', () => {
    const { data } = nested(4, 100, 1);
    const [model] = shapes as [Model];
    const plan = planOf(model, ['arm']);
    const rows = resultOf(fitModel(model, data));
    const table = sumsOfRows(plan, data, (_, row) => 100 + (String(data.g![row]).charCodeAt(1) % 3));
    const turned = Object.fromEntries(
      Object.entries(table).map(([name, column]) => [name, [...column].reverse()]),
    );
    expectSameFit(resultOf(fitSums(plan, table)), rows);
    expectSameFit(resultOf(fitSums(plan, turned)), rows);
  });
});

describe('what sums do not answer, and bad tables', () => {
  const { data } = nested(8, 0, 1);
  const [model] = shapes as [Model];
  const plan = planOf(model, ['arm']);
  const good = sumsOfRows(plan, data);
  const fault = (change: (table: Record<string, (number | string | null)[]>) => void) => {
    const table: Record<string, (number | string | null)[]> = structuredClone(good);
    change(table);
    const outcome = fitSums(plan, table);
    return outcome.ok ? [] : outcome.problems.map(({ where, found }) => `${where}: ${found}`);
  };

  it('refuses in words', () => {
    const place = (asked: Partial<Model>) => {
      const planned = planSums({ outcome: 'y', fixed: ['intercept'], ...asked } as Model);
      return planned.ok ? [] : planned.problems.map(({ where }) => where);
    };
    expect(place({ distribution: 'binary' })).toEqual(['/distribution']);
    expect(place({ fixed: ['intercept', { column: 'x', spline: { degreesOfFreedom: 3 } }] })).toEqual([
      '/fixed/1/spline',
    ]);
    expect(place({ fixed: ['intercept', { column: 'x', power: 0.5 }] })).toEqual(['/fixed/1/power']);
    expect(place({ residual: { correlation: { kind: 'ar1', group: 'g', order: 'i' } } })).toEqual([
      '/residual',
    ]);
    expect(place({ errorSd: { x: 1 } })).toContain('/errorSd');
    expect(place({ inference: { robust: { kind: 'hc3' } } })).toEqual(['/inference/robust']);
    const crossed: Model = {
      outcome: 'y',
      fixed: ['intercept'],
      random: [
        { group: 'g', effects: ['intercept'] },
        { group: 'arm', effects: ['intercept'] },
      ],
    };
    const crossedPlan = planOf(crossed);
    const outcome = fitSums(crossedPlan, sumsOfRows(crossedPlan, data));
    expect(outcome.ok ? '' : outcome.problems[0]!.found).toContain('cross');
  });

  it('names what is wrong with a table', () => {
    expect(fault(() => {})).toEqual([]);
    expect(fault((t) => delete t.sum_2)).toEqual(['sum_2: a table of sums without this column']);
    expect(
      fault((t) => {
        t.row_count![1] = -3;
      })[0],
    ).toContain('row_count: -3 in row 2');
    expect(
      fault((t) => {
        t.row_count![1] = 2.5;
      })[0],
    ).toContain('row_count: 2.5');
    expect(
      fault((t) => {
        t.sum_1![0] = null;
      })[0],
    ).toContain('sum_1: nothing in row 1');
    expect(
      fault((t) => {
        t.left_out![0] = 99;
      })[0],
    ).toContain('left_out: 99');
    expect(
      fault((t) => {
        for (const column of Object.values(t)) column.push(column[3]!);
      })[0],
    ).toContain('the same cell');
    const squares = `sum_${plan.sums.findIndex((powers) => powers.at(-1) === 2 && powers.every((p, k) => k === powers.length - 1 || p === 0))}`;
    expect(
      fault((t) => {
        t[squares]![2] = -1;
      })[0],
    ).toContain('sums that no rows can have, in 1 cells');
    expect(
      fault((t) => {
        t[squares]![2] = Number(t[squares]![2]) / 1e6;
      })[0],
    ).toContain('sums that no rows can have');
    expect(
      fault((t) => {
        t.sum_1!.pop();
      })[0],
    ).toContain('sum_1');
  });

  it('any table of numbers gives a fit or problems, and never NaN without a word', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...Object.keys(good)),
        fc.nat(),
        fc.oneof(fc.double(), fc.constantFrom(null, '', 'x', 0, -1, 1e308)),
        (name, at, value) => {
          const table: Record<string, (number | string | null)[]> = structuredClone(good);
          table[name]![at % table[name]!.length] = value;
          const outcome = fitSums(plan, table);
          if (!outcome.ok) {
            expect(outcome.problems.length).toBeGreaterThan(0);
            return;
          }
          const { fixed, diagnosis } = outcome.fit.result;
          if (fixed.some(({ estimate, standardError }) => !Number.isFinite(estimate + standardError)))
            expect(diagnosis.notes.length + Number(!diagnosis.converged)).toBeGreaterThan(0);
        },
      ),
      { numRuns: 60, seed: 3 },
    );
  });

  it('collinear columns and an outcome without variation are named', () => {
    const twice = { ...data, x2: (data.x as number[]).map((x) => 3 * x - 7) };
    const asked: Model = { outcome: 'y', fixed: ['intercept', { column: 'x' }, { column: 'x2' }] };
    const askedPlan = planOf(asked);
    const outcome = fitSums(askedPlan, sumsOfRows(askedPlan, twice));
    expect(outcome.ok ? [] : outcome.problems.map(({ kind, found }) => `${kind} ${found}`)).toEqual([
      'collinear x2, which can be computed from intercept, x',
    ]);
    const flat: Model = { outcome: 'y', fixed: ['intercept', { column: 'x' }] };
    const flatPlan = planOf(flat);
    const still = fitSums(flatPlan, sumsOfRows(flatPlan, { ...data, y: data.x! }));
    expect(still.ok ? '' : still.problems[0]!.kind).toBe('constant-outcome');
  });

  it('a question that needs rows says so', () => {
    const outcome = fitSums(plan, good);
    if (!outcome.ok) throw new Error('the table is good');
    expect(() => residualDiagnostics(outcome.fit)).toThrow('made from sums');
    expect(() => influence(outcome.fit, 'g')).toThrow('made from sums');
    expect(() => explainedVariance(outcome.fit)).toThrow('made from sums');
  });
});
