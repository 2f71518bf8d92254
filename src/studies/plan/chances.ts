import { normalQuantile } from '../../numerics/index.ts';
import type { SmallestChange, Verdict } from '../finding.ts';
import { shareInterval } from '../shared/share-interval.ts';
import { verdictOf } from '../shared/standing.ts';
import type { DesignDraws } from './draw-design.ts';

/** A share of the drawn studies with its Monte Carlo interval. */
export interface Chance {
  readonly value: number;
  readonly interval: readonly [number, number];
}

type Smallest = Pick<SmallestChange, 'value' | 'goodDirection'>;

const MONTE_CARLO_LEVEL = 0.95;

/** In how many studies of this size the answer would have this verdict, the true effect being `effect`. */
export function chanceOf(
  { error, half }: DesignDraws,
  effect: number,
  smallest: Smallest,
  verdicts: readonly Verdict[],
): Chance {
  let found = 0;
  for (let k = 0; k < error.length; k++) {
    if (Number.isNaN(half[k])) continue;
    const middle = effect + error[k]!;
    if (verdicts.includes(verdictOf([middle - half[k]!, middle + half[k]!], smallest))) found += 1;
  }
  return shareOf(found, error.length);
}

/** In how many studies of this size the interval would leave out no change. */
export function chanceOfSeeing({ error, half }: DesignDraws, effect: number): Chance {
  let found = 0;
  for (let k = 0; k < error.length; k++) if (Math.abs(effect + error[k]!) > half[k]!) found += 1;
  return shareOf(found, error.length);
}

/**
 * The true effect, as a size in the good direction, at which the verdict would be `meaningful` with this chance; with
 * `beyond` 0, at which the interval would leave out no change. Null where too many fits failed for that chance.
 */
export function detectableEffect(
  { error, half }: DesignDraws,
  chance: number,
  beyond: number,
  direction: 1 | -1,
): Chance | null {
  const needed = Float64Array.from(error, (e, k) =>
    Number.isNaN(half[k]) ? Number.POSITIVE_INFINITY : beyond + half[k]! - direction * e,
  ).sort();
  const n = needed.length;
  const spread = normalQuantile((1 + MONTE_CARLO_LEVEL) / 2) * Math.sqrt(n * chance * (1 - chance));
  const at = (rank: number) => needed[Math.min(n - 1, Math.max(0, Math.ceil(rank) - 1))]!;
  const [value, low, high] = [at(n * chance), at(n * chance - spread), at(n * chance + spread)];
  return Number.isFinite(high) ? { value, interval: [low, high] } : null;
}

function shareOf(found: number, of: number): Chance {
  return { value: found / of, interval: shareInterval(found / of, of, MONTE_CARLO_LEVEL) };
}
