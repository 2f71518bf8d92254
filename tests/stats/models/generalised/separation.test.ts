/**
 * Separation found and said, and nothing else called separation. Oracle for two columns: the outcome is separated when
 * some direction of the plane confirms every row and moves at least one; candidates are the directions at right angles to
 * a row, and those between neighbours of them. Definition: Albert and Anderson (1984), Biometrika 71, 1-10.
 */
import { describe, expect, it } from 'vitest';
import { createStream } from '../../../../src/numerics/index.ts';
import { type DataColumns, fitModel, type Model, type ModelProblem } from '../../../../src/stats/index.ts';

function problemsOf(model: Model, data: DataColumns): readonly ModelProblem[] {
  const outcome = fitModel(model, data);
  return outcome.ok ? [] : outcome.problems;
}

/** Whether the statements sign * (a + b x) >= 0 can all be confirmed, one of them strictly. */
function separated(statements: readonly { readonly sign: number; readonly x: number }[]): boolean {
  const angles = statements.flatMap(({ x }) => {
    const right = Math.atan2(-1, x);
    return [right, right + Math.PI];
  });
  const sorted = [...new Set(angles.map((angle) => (angle + 4 * Math.PI) % (2 * Math.PI)))].sort(
    (a, b) => a - b,
  );
  const between = sorted.map((angle, i) => (angle + (sorted[i + 1] ?? sorted[0]! + 2 * Math.PI)) / 2);
  return [...sorted, ...between].some((angle) => {
    const signs = statements.map(({ sign, x }) => sign * (Math.cos(angle) + Math.sin(angle) * x));
    return signs.every((s) => s > -1e-9) && signs.some((s) => s > 1e-9);
  });
}

const line: Model = { outcome: 'y', distribution: 'binary', fixed: ['intercept', { column: 'x' }] };

describe('yes/no outcomes', () => {
  it('agrees with the oracle on 300 small designs', () => {
    let found = 0;
    for (let seed = 0; seed < 300; seed++) {
      const stream = createStream(seed);
      const n = 5 + Math.floor(8 * stream.uniform());
      const x = Array.from({ length: n }, () =>
        seed % 2 === 0 ? Math.floor(3 * stream.uniform()) : stream.normal(),
      );
      const y = x.map((value) =>
        stream.uniform() < 1 / (1 + Math.exp(-3 * (value - (seed % 2 === 0 ? 1 : 0)))) ? 1 : 0,
      );
      if (new Set(x).size < 2 || new Set(y).size < 2) continue;
      const truth = separated(x.map((value, i) => ({ sign: y[i] === 1 ? 1 : -1, x: value })));
      const kinds = problemsOf(line, { x, y }).map(({ kind }) => kind);
      expect(kinds, `seed ${seed}: ${x} / ${y}`).toEqual(truth ? ['separation'] : []);
      if (truth) found++;
    }
    expect(found).toBeGreaterThan(50);
    expect(found).toBeLessThan(250);
  });

  it('complete: a column that tells every row', () => {
    const x = [-3, -2, -1, 1, 2, 3];
    const [problem] = problemsOf(line, { x, y: [0, 0, 0, 1, 1, 1] });
    expect(problem).toMatchObject({ kind: 'separation', where: '/fixed/1' });
    expect(problem!.found).toBe('x, which tells y without fail in every row');
  });

  it('quasi-complete: names the level, also the reference level, with its rows and value', () => {
    const arm = ['a', 'a', 'a', 'b', 'b', 'b', 'c', 'c', 'c', 'c'];
    const model: Model = { ...line, fixed: ['intercept', { column: 'arm', levels: ['a', 'b', 'c'] }] };
    expect(problemsOf(model, { arm, y: [0, 1, 0, 1, 0, 1, 1, 1, 1, 1] })[0]!.found).toBe(
      'arm=c, which tells y without fail in 4 of 10 rows: it is always 1',
    );
    expect(problemsOf(model, { arm, y: [0, 0, 0, 1, 0, 1, 1, 0, 1, 1] })[0]!.found).toBe(
      'arm=a, which tells y without fail in 3 of 10 rows: it is always 0',
    );
  });

  it('is found on wild scales, with trials, and with random terms', () => {
    const x = [-3, -2, -1, 1, 2, 3].map((value) => 1e9 + 1e-2 * value);
    expect(problemsOf(line, { x, y: [0, 0, 0, 1, 1, 1] }).map(({ kind }) => kind)).toEqual(['separation']);
    const drill = Array.from({ length: 24 }, (_, i) => i % 2);
    const g = Array.from({ length: 24 }, (_, i) => `g${Math.floor(i / 4)}`);
    const hits = drill.map((d, i) => (d === 1 ? 0 : 1 + (i % 4)));
    const model: Model = {
      outcome: 'hits',
      distribution: 'binary',
      trials: 'n',
      fixed: ['intercept', { column: 'drill' }],
      random: [{ group: 'g', effects: ['intercept'] }],
    };
    const [problem] = problemsOf(model, { drill, g, hits, n: drill.map(() => 6) });
    expect(problem!.found).toBe('drill, which tells hits without fail in 12 of 24 rows: no trial succeeded');
  });

  it('a group of which every row is 1 is no separation', () => {
    const g = Array.from({ length: 40 }, (_, i) => `g${Math.floor(i / 5)}`);
    const x = g.map((_, i) => ((i * 7) % 11) - 5);
    const y = g.map((name, i) => (name === 'g0' ? 1 : name === 'g1' ? 0 : (i * 13) % 7 < 3 ? 1 : 0));
    const outcome = fitModel({ ...line, random: [{ group: 'g', effects: ['intercept'] }] }, { g, x, y });
    expect(outcome.ok && outcome.fit.result.diagnosis.converged).toBe(true);
  });
});

describe('ratings', () => {
  const model: Model = { outcome: 'y', distribution: 'ordinal', fixed: [{ column: 'x' }] };

  it('agrees with the oracle on 150 designs with three categories', () => {
    // For one column: separated when some slope direction d = +1 or -1 orders the categories, ties allowed but not all tied:
    // thresholds with hi >= d x >= lo for every row, one of them strict.
    let found = 0;
    for (let seed = 0; seed < 150; seed++) {
      const stream = createStream(500 + seed);
      const n = 6 + Math.floor(5 * stream.uniform());
      const x = Array.from({ length: n }, () => Math.floor(4 * stream.uniform()));
      const y = x.map((value) =>
        Math.max(1, Math.min(3, Math.round(value / 1.5 + 1 + 0.7 * stream.normal()))),
      );
      if (new Set(x).size < 2 || new Set(y).size < 3) continue;
      const truth = [1, -1].some((d) => {
        const range = (k: number) => {
          const own = x.flatMap((value, i) => (y[i] === k ? [d * value] : []));
          return { low: Math.min(...own), high: Math.max(...own) };
        };
        const [one, two, three] = [range(1), range(2), range(3)];
        return one.high <= two.low && two.high <= three.low && one.high <= three.low;
      });
      const kinds = problemsOf(model, { x, y }).map(({ kind }) => kind);
      expect(kinds, `seed ${seed}: ${x} / ${y}`).toEqual(truth ? ['separation'] : []);
      if (truth) found++;
    }
    expect(found).toBeGreaterThan(5);
  });

  it('names the level whose ratings are always the highest', () => {
    const arm = ['a', 'a', 'a', 'a', 'b', 'b', 'b'];
    const [problem] = problemsOf(
      { ...model, fixed: [{ column: 'arm', levels: ['a', 'b'] }] },
      { arm, y: [1, 2, 3, 2, 3, 3, 3] },
    );
    expect(problem!.found).toBe('arm=b, which tells y without fail in 3 of 7 rows: it is always 3');
  });
});

describe('counts', () => {
  it('a level without any is separation; a level with few is not', () => {
    const arm = ['a', 'a', 'a', 'b', 'b', 'b'];
    const model: Model = {
      outcome: 'y',
      distribution: 'count',
      fixed: ['intercept', { column: 'arm', levels: ['a', 'b'] }],
    };
    expect(problemsOf(model, { arm, y: [2, 3, 1, 0, 0, 0] })[0]!.found).toBe(
      'arm=b, which tells y without fail in 3 of 6 rows: it is always 0',
    );
    expect(problemsOf(model, { arm, y: [2, 3, 1, 0, 0, 1] })).toEqual([]);
  });
});
