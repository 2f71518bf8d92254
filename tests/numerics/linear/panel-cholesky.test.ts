import { describe, expect, it } from 'vitest';
import {
  createStream,
  factorPanel,
  inverseOfPositiveDefinite,
  inverseTransposed,
  subtractRowProducts,
  subtractSymmetricProducts,
} from '../../../src/numerics/index.ts';

function positiveDefinite(n: number, seed: number): Float64Array {
  const stream = createStream(seed);
  const g = Float64Array.from({ length: n * n }, () => stream.normal());
  const a = new Float64Array(n * n);
  for (let i = 0; i < n; i++)
    for (let j = 0; j < n; j++) {
      let sum = i === j ? n : 0;
      for (let k = 0; k < n; k++) sum += g[i * n + k]! * g[j * n + k]!;
      a[i * n + j] = sum;
    }
  return a;
}

describe.each([1, 2, 35, 36, 37, 110])('a panel of %i pivots', (pivots) => {
  const rows = pivots + 7;
  const a = positiveDefinite(rows, pivots);
  const panel = new Float64Array(rows * pivots);
  for (let i = 0; i < rows; i++) for (let j = 0; j < pivots; j++) panel[i * pivots + j] = a[i * rows + j]!;
  const positive = factorPanel(panel, 0, rows, pivots);

  it('multiplies back to the matrix', () => {
    expect(positive).toBe(true);
    let worst = 0;
    for (let i = 0; i < rows; i++)
      for (let j = 0; j <= Math.min(i, pivots - 1); j++) {
        let sum = 0;
        for (let k = 0; k <= j; k++) sum += panel[i * pivots + k]! * panel[j * pivots + k]!;
        worst = Math.max(worst, Math.abs(sum - a[i * rows + j]!));
      }
    expect(worst).toBeLessThan(1e-11 * rows);
  });

  it('has an inverse factor whose square is the inverse of the square on top', () => {
    const square = new Float64Array(pivots * pivots);
    for (let i = 0; i < pivots; i++)
      for (let j = 0; j < pivots; j++) square[i * pivots + j] = a[i * rows + j]!;
    const inverse = inverseOfPositiveDefinite(square, pivots)!;
    const u = new Float64Array(pivots * pivots).fill(9);
    inverseTransposed(panel, 0, pivots, u);
    let worst = 0;
    for (let i = 0; i < pivots; i++)
      for (let j = 0; j < pivots; j++) {
        if (j < i) worst = Math.max(worst, Math.abs(u[i * pivots + j]!));
        let sum = 0;
        for (let k = 0; k < pivots; k++) sum += u[i * pivots + k]! * u[j * pivots + k]!;
        worst = Math.max(worst, Math.abs(sum - inverse[i * pivots + j]!));
      }
    expect(worst).toBeLessThan(1e-12);
  });
});

it('a panel that is not positive definite is refused', () => {
  expect(factorPanel(Float64Array.of(1, 0, 2, 5, 0, 0), 0, 3, 2)).toBe(true);
  expect(factorPanel(Float64Array.of(1, 0, 2, 4, 0, 0), 0, 3, 2)).toBe(false);
  expect(factorPanel(Float64Array.of(Number.NaN), 0, 1, 1)).toBe(false);
});

it.each([
  [1, 1, 4],
  [2, 5, 3],
  [3, 3, 1],
  [7, 8, 11],
])('products of rows, %i x %i, inner length %i', (m, n, inner) => {
  const stream = createStream(m + 10 * n);
  const draw = (length: number) => Float64Array.from({ length }, () => stream.normal());
  const a = draw(2 + m * (inner + 1));
  const b = draw(1 + n * (inner + 2));
  const c = draw(3 + m * (n + 1));
  const expected = Float64Array.from(c);
  for (let i = 0; i < m; i++)
    for (let j = 0; j < n; j++)
      for (let k = 0; k < inner; k++)
        expected[3 + i * (n + 1) + j]! -= a[2 + i * (inner + 1) + k]! * b[1 + j * (inner + 2) + k]!;
  subtractRowProducts(
    { of: c, at: 3, stride: n + 1 },
    { of: a, at: 2, stride: inner + 1 },
    { of: b, at: 1, stride: inner + 2 },
    m,
    n,
    inner,
  );
  c.forEach((value, at) => {
    expect(Math.abs(value - expected[at]!)).toBeLessThan(1e-13);
  });
});

it('symmetric products fill the whole lower triangle, also over several tiles', () => {
  const n = 203;
  const stream = createStream(5);
  const a = Float64Array.from({ length: n * 2 }, () => stream.normal());
  const c = new Float64Array(n * n);
  const rows = { of: a, at: 0, stride: 2 };
  subtractSymmetricProducts({ of: c, at: 0, stride: n }, rows, rows, n, 2);
  let worst = 0;
  for (let i = 0; i < n; i++)
    for (let j = 0; j <= i; j++) {
      const product = a[2 * i]! * a[2 * j]! + a[2 * i + 1]! * a[2 * j + 1]!;
      worst = Math.max(worst, Math.abs(c[i * n + j]! + product));
    }
  expect(worst).toBeLessThan(1e-13);
});
