import type { Estimate } from '../../../stats/index.ts';

/** An estimate with what is known of its uncertainty; null where the data cannot say. Never NaN. */
export interface Effect {
  readonly value: number | null;
  readonly interval: readonly [number, number] | null;
  readonly standardError: number | null;
  readonly degreesOfFreedom: number | null;
}

/** What is said when there is nothing to say. */
export const NO_EFFECT: Effect = {
  value: null,
  interval: null,
  standardError: null,
  degreesOfFreedom: null,
};

/** An engine's estimate, with numbers that mean nothing (not finite, or a zero error) turned into null. */
export function effectOf(
  estimate: Pick<Estimate, 'estimate' | 'standardError' | 'degreesOfFreedom' | 'interval'>,
): Effect {
  if (!Number.isFinite(estimate.estimate)) return NO_EFFECT;
  const [low, high] = estimate.interval;
  const sure = estimate.standardError > 0 && Number.isFinite(low) && Number.isFinite(high);
  return {
    value: estimate.estimate,
    interval: sure ? [low, high] : null,
    standardError: sure ? estimate.standardError : null,
    degreesOfFreedom:
      sure && estimate.degreesOfFreedom !== null && Number.isFinite(estimate.degreesOfFreedom)
        ? estimate.degreesOfFreedom
        : null,
  };
}

/** A bare value without an interval. */
export function bareEffect(value: number | null): Effect {
  return { ...NO_EFFECT, value: value !== null && Number.isFinite(value) ? value : null };
}

/** A golfer's own change. */
export interface OwnChange extends Effect {
  /** Probability that it lies above a value; null where it has no interval. */
  readonly chanceAbove: ((value: number) => number) | null;
}

/** Changes by golfer, worked out all together when the first is asked for; null for a golfer who has none. */
export function whenAsked(work: () => ReadonlyMap<string, OwnChange>): (golfer: string) => OwnChange | null {
  let known: ReadonlyMap<string, OwnChange> | null = null;
  return (golfer) => {
    known ??= work();
    return known.get(golfer) ?? null;
  };
}
