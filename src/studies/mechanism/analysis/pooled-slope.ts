import { pooledProducts, recursivePaths } from '../../../stats/index.ts';
import { type Found, found } from './estimate.ts';
import { type Frame, productsOf } from './frame.ts';
import { productsWithout } from './products-without.ts';

/**
 * The slope of the outcome on the predictor inside golfers, pooled over golfers: least squares on departures from the own
 * level, what is held partialled out, the stated error variance taken off the predictor's squares where `corrected`.
 *
 * Standard error by leaving each golfer out (Efron and Stein 1981, Ann Stat 9:586-596), so days, unequal scatter, golfers'
 * own slopes and the uncertainty of the correction are in it; Student's t with the effective number of golfers less one
 * degrees of freedom, (sum D)^2 / sum D^2 with D what each golfer brings to the squares (Carter, Schnepel and Steigerwald
 * 2017, Rev Econ Stat 99:698-709). Null where the swings cannot tell it.
 */
export function pooledSlope(
  frame: Frame,
  predictor: string,
  outcome: string,
  { corrected, level }: { readonly corrected: boolean; readonly level: number },
): Found | null {
  const names = frame.held;
  const all = productsOf(frame, [...names, predictor, outcome]);
  const whole = pooledProducts(all);
  const v = all.variables;
  // What is the same at all swings of each golfer has nothing to hold.
  const stays = Array.from({ length: v }, (_, a) => a >= names.length || whole[a * v + a]! > 0);
  const kept = stays.flatMap((stay, a) => (stay ? [a] : []));
  const n = kept.length;
  const slopeOf = (products: Float64Array): number | null => {
    const some = Float64Array.from(
      { length: n * n },
      (_, at) => products[kept[Math.floor(at / n)]! * v + kept[at % n]!]!,
    );
    const slopes = recursivePaths(some, n);
    return slopes === null ? null : slopes[(n - 1) * n + n - 2]!;
  };
  const value = slopeOf(pooledProducts(all, null, corrected));
  if (value === null) return null;
  const leaveOut = productsWithout(all, corrected);
  const without: number[] = [];
  let [sum, squares] = [0, 0];
  for (let g = 0; g < all.clusters; g++) {
    const brings = all.products[g * v * v + (v - 2) * (v + 1)]!;
    sum += brings;
    squares += brings * brings;
    if (brings === 0) continue;
    const one = slopeOf(leaveOut(g));
    if (one === null) return null;
    without.push(one);
  }
  const golfers = without.length;
  const mean = without.reduce((total, one) => total + one, 0) / golfers;
  const spread = without.reduce((total, one) => total + (one - mean) ** 2, 0);
  const degreesOfFreedom = (sum * sum) / squares - 1;
  if (!(degreesOfFreedom > 1) || !(spread > 0)) return null;
  return found(value, Math.sqrt(((golfers - 1) / golfers) * spread), degreesOfFreedom, level);
}
