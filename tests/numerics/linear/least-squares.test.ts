import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { leastSquares, orthogonalColumns } from '../../../src/numerics/index.ts';

const longley = JSON.parse(
  readFileSync(new URL('../../reference/models/longley.json', import.meta.url), 'utf8'),
) as { data: Record<string, number[]>; certified: { estimate: number }[] };

function powers(x: readonly number[], degree: number): Float64Array {
  const columns: number[] = [];
  for (let k = 0; k <= degree; k++) for (const value of x) columns.push(value ** k);
  return Float64Array.from(columns);
}

describe('leastSquares', () => {
  it('worked example: a straight line through (1, 2), (2, 4), (3, 6)', () => {
    const { coefficients, residualSumOfSquares } = leastSquares(
      powers([1, 2, 3], 1),
      Float64Array.of(2, 4, 6),
      2,
    );
    expect(coefficients[0]).toBeCloseTo(0, 14);
    expect(coefficients[1]).toBeCloseTo(2, 14);
    expect(residualSumOfSquares).toBeCloseTo(0, 25);
  });

  it('Longley (NIST certified): 14 digits', () => {
    const { y, ...columns } = longley.data;
    const x = Float64Array.from([...y!.map(() => 1), ...Object.values(columns).flat()]);
    const { coefficients } = leastSquares(x, Float64Array.from(y!), 7);
    longley.certified.forEach(({ estimate }, k) => {
      expect(Math.abs(coefficients[k]! / estimate - 1)).toBeLessThan(1e-14);
    });
  });

  it('a quintic without error (NIST Wampler1: y = 1 + x + ... + x^5, x = 0 to 20): every coefficient 1', () => {
    const x = Array.from({ length: 21 }, (_, i) => i);
    const y = Float64Array.from(x, (value) => [0, 1, 2, 3, 4, 5].reduce((sum, k) => sum + value ** k, 0));
    const { coefficients } = leastSquares(powers(x, 5), y, 6);
    for (const value of coefficients) expect(Math.abs(value - 1)).toBeLessThan(1e-13);
  });
});

describe('orthogonalColumns', () => {
  it('worked example: columns (3, 4) and (1, 1)', () => {
    const { q, r } = orthogonalColumns(Float64Array.of(3, 4, 1, 1), 2, 2);
    expect(r[0]).toBeCloseTo(5, 14);
    expect(r[1]).toBeCloseTo(1.4, 14);
    expect(r[3]).toBeCloseTo(0.2, 14);
    expect(q[0]! * q[2]! + q[1]! * q[3]!).toBeCloseTo(0, 15);
  });

  it('stays orthogonal on a Hilbert matrix, where one pass would not', () => {
    const n = 9;
    const x = Float64Array.from({ length: n * n }, (_, at) => 1 / (1 + (at % n) + Math.floor(at / n)));
    const { q } = orthogonalColumns(x, n, n);
    for (let a = 0; a < n; a++)
      for (let b = 0; b < n; b++) {
        let dot = 0;
        for (let i = 0; i < n; i++) dot += q[a * n + i]! * q[b * n + i]!;
        expect(Math.abs(dot - (a === b ? 1 : 0))).toBeLessThan(1e-14);
      }
  });

  it('finds dependent columns whatever their scale, and keeps nearly dependent ones', () => {
    const base = [1, 2, 3, 4, 5];
    const exact = Float64Array.from([
      ...base.map(() => 1),
      ...base,
      ...base.map((v) => 1e9 * v + 1e9),
      ...base.map((v) => 1e-9 * v ** 2),
    ]);
    expect(orthogonalColumns(exact, 5, 4).dependent).toEqual([2]);
    const near = Float64Array.from([...base.map(() => 1), ...base.map((v) => 1e6 + 1e-2 * v)]);
    expect(orthogonalColumns(near, 5, 2).dependent).toEqual([]);
    expect(orthogonalColumns(new Float64Array(5), 5, 1).dependent).toEqual([0]);
  });
});
