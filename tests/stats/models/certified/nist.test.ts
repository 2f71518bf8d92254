/**
 * The linear regression sets of the NIST Statistical Reference Datasets through the public contract, with the digits
 * reached (minus the logarithm of the relative error, at most 15) held to a floor for each set.
 *
 * What double precision allows: data and columns are rounded to 16 digits, and a power column is rounded before any
 * method sees it. Coefficients may lose as many digits as the condition number of the scaled columns has. Filip's
 * (degree 10 over -8.8 to -3.1) is 5e9, so that six to seven digits are certain whatever the solver, and eight are
 * reached; the refinement in twice the precision keeps the loss to the columns' own rounding. Wampler's columns are
 * whole numbers below 2^53 and lose nothing, so that refinement reaches nearly all digits even where the noise is
 * ten thousand times the signal (Wampler5). Wampler1 and Wampler2 leave no residual: the model engine says so, and
 * their coefficients are asked of least squares itself.
 */
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { leastSquares } from '../../../../src/numerics/index.ts';
import { explainedVariance, type FixedTerm, fitModel } from '../../../../src/stats/index.ts';
import { MODELS } from '../golden.ts';

interface Certified {
  readonly powers: number[];
  readonly x: number[];
  readonly y: number[];
  readonly estimate: number[];
  readonly standardError: number[];
  readonly residualSd: number;
  readonly rSquared: number;
}
const { sets } = JSON.parse(
  readFileSync(fileURLToPath(new URL('../../../reference/linear/certified.json', import.meta.url)), 'utf8'),
) as { sets: Record<string, Certified> };

const digits = (found: number, certified: number): number =>
  found === certified ? 15 : Math.min(15, -Math.log10(Math.abs(found - certified) / Math.abs(certified)));
const least = (found: readonly number[], certified: readonly number[]) =>
  Math.min(...found.map((value, i) => digits(value, certified[i]!)));

function reached(
  fixed: FixedTerm<Record<string, unknown>>[],
  data: Record<string, number[]>,
  certified: Pick<Certified, 'estimate' | 'standardError' | 'residualSd' | 'rSquared'>,
) {
  const outcome = fitModel<Record<string, unknown>>({ outcome: 'y', fixed }, data);
  if (!outcome.ok) throw new Error(JSON.stringify(outcome.problems));
  const { result } = outcome.fit;
  const share = explainedVariance(outcome.fit);
  if (share.kind !== 'least-squares') throw new Error('expected least squares');
  return {
    estimate: least(
      result.fixed.map(({ estimate }) => estimate),
      certified.estimate,
    ),
    standardError: least(
      result.fixed.map(({ standardError }) => standardError),
      certified.standardError,
    ),
    residualSd: digits(result.residualSd, certified.residualSd),
    rSquared: digits(share.rSquared, certified.rSquared),
  };
}
const termsOf = (powers: readonly number[]): FixedTerm<Record<string, unknown>>[] =>
  powers.map((power) => (power === 0 ? 'intercept' : power === 1 ? { column: 'x' } : { column: 'x', power }));

describe('digits reached through the model contract', () => {
  // Floors of coefficients, standard errors, residual SD and R-squared; beside them the digits reached when written.
  it.each([
    ['Norris', 13, 13, 13, 14], // 14.1 13.9 14.0 15
    ['Pontius', 12, 13, 13, 14], // 13.5 13.8 13.8 15
    ['NoInt1', 14, 14, 14, 14], // 14.7 15 15 15
    ['NoInt2', 14, 14, 14, 14], // 15 14.9 15 15
    ['Filip', 7, 7, 7.5, 10], // 8.0 7.8 8.1 10.3
    ['Wampler3', 14, 13, 14, 14], // 15 13.9 14.8 15
    ['Wampler4', 14, 13, 14, 13], // 15 13.9 14.8 15
    ['Wampler5', 14, 13, 14, 12], // 15 13.9 14.8 13.1
  ])('%s', (name, estimate, standardError, residualSd, rSquared) => {
    const { x, y, powers, ...certified } = sets[name]!;
    const found = reached(termsOf(powers), { x, y }, certified);
    expect(found.estimate).toBeGreaterThanOrEqual(estimate);
    expect(found.standardError).toBeGreaterThanOrEqual(standardError);
    expect(found.residualSd).toBeGreaterThanOrEqual(residualSd);
    expect(found.rSquared).toBeGreaterThanOrEqual(rSquared);
  });

  it('Longley: 13 digits', () => {
    const longley = JSON.parse(readFileSync(`${MODELS}longley.json`, 'utf8'));
    const { y, ...columns } = longley.data;
    const found = reached(
      ['intercept', ...Object.keys(columns).map((column) => ({ column }))],
      longley.data,
      {
        estimate: longley.certified.map((row: { estimate: number }) => row.estimate),
        standardError: longley.certified.map((row: { standardError: number }) => row.standardError),
        residualSd: longley.residualSd,
        // The certified R-squared of the set.
        rSquared: 0.995479004577296,
      },
    );
    expect(Math.min(found.estimate, found.residualSd, found.rSquared)).toBeGreaterThanOrEqual(13);
    expect(found.standardError).toBeGreaterThanOrEqual(12);
    expect(y).toHaveLength(16);
  });
});

describe('sets without a residual', () => {
  it.each([
    ['Wampler1', 14],
    ['Wampler2', 12.5],
  ])(
    '%s: coefficients by least squares, and the model engine says that nothing is left to explain',
    (name, floor) => {
      const { x, y, powers, estimate } = sets[name]!;
      const columns = Float64Array.from(powers.flatMap((power) => x.map((value) => value ** power)));
      const { coefficients } = leastSquares(columns, Float64Array.from(y), powers.length);
      expect(least(Array.from(coefficients), estimate)).toBeGreaterThanOrEqual(floor);
      const outcome = fitModel<Record<string, unknown>>({ outcome: 'y', fixed: termsOf(powers) }, { x, y });
      expect(outcome.ok ? [] : outcome.problems.map(({ kind, found }) => `${kind}: ${found}`)).toEqual([
        'constant-outcome: y, which the fixed effects reproduce exactly',
      ]);
    },
  );
});
