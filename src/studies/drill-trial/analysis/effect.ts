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
export function effectOf(estimate: Estimate): Effect {
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

/** Effects by golfer, worked out all together when the first is asked for; null for a golfer who has none. */
export function whenAsked(work: () => ReadonlyMap<string, Effect>): (golfer: string) => Effect | null {
  let known: ReadonlyMap<string, Effect> | null = null;
  return (golfer) => {
    known ??= work();
    return known.get(golfer) ?? null;
  };
}
