import type { TailAt } from './invert-tail.ts';

/**
 * Gives a falling tail a density for `invertTail`: the slope to the point asked before (at first, to one close
 * by), which steers the search without entering its answer.
 */
export function withSlope(upper: (x: number) => number): (x: number) => TailAt {
  let last: { x: number; probability: number } | null = null;
  return (x) => {
    const probability = upper(x);
    if (!last || last.x === x) {
      const nearby = x * (1 + 1e-4);
      last = { x: nearby, probability: upper(nearby) };
    }
    const density = (probability - last.probability) / (last.x - x);
    last = { x, probability };
    return { probability, density };
  };
}
