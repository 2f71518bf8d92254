import { symmetricEigen } from '../../linear/symmetric-eigen.ts';
import { createStream, type Stream } from '../../random/stream.ts';
import { requirePositive, requireProbability } from '../check-arguments.ts';
import { invertTail } from '../invert-tail.ts';
import { normalUpper } from '../normal.ts';
import { studentTwoSided } from '../student.ts';
import { studentizedRangeUpper } from '../studentized-range.ts';
import { withSlope } from '../with-slope.ts';
import { pairsOfGroups } from './pairs-of-groups.ts';
import { planeUpper } from './plane.ts';
import { sampledDirections } from './sampled-directions.ts';
import { sharedControl, sharedControlUpper } from './shared-control.ts';

/** The distribution of max |T_k| for a multivariate t. */
export interface LargestStudent {
  /** How probabilities are found; all but `sampled directions` are good to about 10 digits in the tail. */
  readonly method: 'one' | 'studentized range' | 'shared control' | 'plane' | 'sampled directions';
  /** P(max |T_k| > c). */
  upper(c: number): number;
  /** The c that a share p of max |T_k| exceeds. */
  upperQuantile(p: number): number;
  /** Standard error of `upper(c)` relative to itself; 0 where nothing is sampled. */
  relativeError(c: number): number;
}

/**
 * The largest absolute value of k Student variables with a common SD estimate and the correlations given, which
 * is what single-step simultaneous intervals need. Where the correlations allow it the probability is a one- or
 * two-dimensional integral: all pairs of equally well known means (studentized range), a shared control (r_ij =
 * l_i l_j, Dunnett 1955), any correlations of rank 2. Otherwise, with T = A z / s, rows of A of unit length,
 * the direction u of z is uniform and
 *   P(max > c) = E_u F-tail(c^2 / (m M(u)^2); m, df),  M(u) = max_k |a_k'u|, m the rank,
 * averaged over the directions of a randomly shifted lattice. The radial part being exact, its relative error does
 * not grow in the tail; it is about 1e-4 to 1e-3.
 *
 * @param correlation k x k, row by row; may be singular
 * @param df Infinity for known SDs
 * @param stream shifts the lattice; the default is always the same
 * @throws RangeError when the matrix is not a correlation matrix or df is not above zero
 * @see Deak I (1980), Numer Math 35, 369-380; Somerville PN (1998), J Comput Graph Stat 7, 529-544; Hothorn, Bretz, Westfall
 *   (2008), Biometrical Journal 50, 346-363.
 * @example largestStudent([1, 0.5, 0.5, 1], 2, 20).upperQuantile(0.05) // 2.379
 */
export function largestStudent(
  correlation: ArrayLike<number>,
  k: number,
  df: number,
  stream: Stream = createStream(1, 'largest student'),
): LargestStudent {
  requirePositive('largestStudent', { df });
  requireCorrelation(correlation, k);
  const at = (i: number, j: number) => correlation[i * k + j]!;
  const { values, vectors } = symmetricEigen(Float64Array.from(correlation), k);
  const kept = Array.from({ length: k }, (_, i) => i).filter((i) => values[i]! > 1e-10 * values[k - 1]!);
  const m = kept.length;
  const rows = Array.from({ length: k }, (_, i) =>
    Float64Array.from(kept, (j) => vectors[i * k + j]! * Math.sqrt(values[j]!)),
  );
  if (m === 1) return answer('one', (c) => (df === Infinity ? 2 * normalUpper(c) : studentTwoSided(c, df)));
  if (m === 2) return answer('plane', (c) => planeUpper(c, rows, df));
  const groups = pairsOfGroups(at, k);
  if (groups === m + 1)
    return answer('studentized range', (c) => studentizedRangeUpper(c * Math.SQRT2, groups, df));
  const loadings = m === k ? sharedControl(at, k) : null;
  if (loadings) return answer('shared control', (c) => sharedControlUpper(c, loadings, df));
  const { upper, relativeError } = sampledDirections(rows, m, df, stream);
  return answer('sampled directions', upper, relativeError);
}

function answer(
  method: LargestStudent['method'],
  tail: (c: number) => number,
  relativeError: (c: number) => number = () => 0,
): LargestStudent {
  const upper = (c: number) => (c <= 0 ? 1 : c === Infinity ? 0 : Math.min(1, tail(c)));
  return {
    method,
    upper,
    relativeError,
    upperQuantile(p) {
      requireProbability('upperQuantile', p);
      if (p === 0) return Infinity;
      if (p === 1) return 0;
      return Number.isNaN(p) ? p : invertTail(withSlope(upper), p, false, 2, 1e-12);
    },
  };
}

function requireCorrelation(correlation: ArrayLike<number>, k: number): void {
  const fail = (what: string) => {
    throw new RangeError(`largestStudent: a ${k} x ${k} correlation matrix is needed; ${what}.`);
  };
  if (!(k >= 1) || correlation.length !== k * k) fail(`found ${correlation.length} numbers`);
  for (let i = 0; i < k; i++)
    for (let j = 0; j < k; j++) {
      const r = correlation[i * k + j]!;
      if (i === j ? Math.abs(r - 1) > 1e-9 : !(Math.abs(r) <= 1 + 1e-9))
        fail(`found ${r} in row ${i + 1}, column ${j + 1}`);
      if (Math.abs(r - correlation[j * k + i]!) > 1e-9) fail('this one is not symmetric');
    }
}
