import type { Stream } from '../../random/stream.ts';
import { normalQuantile } from '../normal.ts';
import { radialTail } from './radial-tail.ts';

const SHIFTS = 10;
const POINTS = 8192;
/** Directions are gathered by M(u); inside one of so many classes the tail is as good as straight. */
const CLASSES = 4096;

/**
 * P(max |T_k| > c) averaged over directions of a lattice (Richtmyer's: multiples of the square roots of
 * primes), shifted ten times at random, whose scatter gives the error. Directions are drawn once, so `upper` is
 * a smooth falling function.
 */
export function sampledDirections(
  rows: readonly Float64Array[],
  m: number,
  df: number,
  stream: Stream,
): { upper: (c: number) => number; relativeError: (c: number) => number } {
  const steps = firstPrimes(m).map(Math.sqrt);
  const counts = Array.from({ length: SHIFTS }, () => new Float64Array(CLASSES));
  const sums = new Float64Array(CLASSES);
  const z = new Float64Array(m);
  for (const count of counts) {
    const shift = steps.map(() => stream.uniform());
    for (let i = 0; i < POINTS; i++) {
      let square = 0;
      for (let d = 0; d < m; d++) {
        // The tent (baker's) transform makes the integrand periodic.
        const tent = Math.abs(2 * ((i * steps[d]! + shift[d]!) % 1) - 1);
        z[d] = normalQuantile(Math.min(1 - 1e-16, Math.max(1e-16, tent)));
        square += z[d]! * z[d]!;
      }
      let most = 0;
      for (const row of rows) {
        let dot = 0;
        for (let d = 0; d < m; d++) dot += row[d]! * z[d]!;
        most = Math.max(most, Math.abs(dot));
      }
      const share = most / Math.sqrt(square);
      const place = Math.min(CLASSES - 1, Math.floor(share * CLASSES));
      count[place] = count[place]! + 1;
      sums[place] = sums[place]! + share;
    }
  }
  const total = sums.map((_, place) => counts.reduce((sum, count) => sum + count[place]!, 0));
  const tails = (c: number): Float64Array =>
    sums.map((sum, place) => (total[place] === 0 ? 0 : radialTail((c * total[place]!) / sum, m, df)));
  const mean = (tail: Float64Array, count: Float64Array, points: number): number => {
    let sum = 0;
    for (let place = 0; place < CLASSES; place++) sum += (tail[place]! * count[place]!) / points;
    return sum;
  };
  return {
    upper: (c) => mean(tails(c), total, SHIFTS * POINTS),
    relativeError(c) {
      const tail = tails(c);
      const means = counts.map((count) => mean(tail, count, POINTS));
      const centre = means.reduce((a, b) => a + b, 0) / SHIFTS;
      const variance = means.reduce((sum, x) => sum + (x - centre) ** 2, 0) / (SHIFTS - 1);
      return centre > 0 ? Math.sqrt(variance / SHIFTS) / centre : 0;
    },
  };
}

function firstPrimes(count: number): number[] {
  const primes: number[] = [];
  for (let n = 2; primes.length < count; n++) if (primes.every((p) => n % p !== 0)) primes.push(n);
  return primes;
}
