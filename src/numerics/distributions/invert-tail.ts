/** A tail probability of a positive variable at x, and the density there. */
export interface TailAt {
  readonly probability: number;
  readonly density: number;
}

/**
 * The x > 0 at which a tail probability equals `target`: Newton's method on the logarithm of the probability
 * against the logarithm of x, on which every tail used here is nearly straight, kept inside a bracket.
 * The density only steers the steps; the answer depends on the probability alone.
 *
 * @param tailAt the tail as a function of x
 * @param target a probability above 0 that the tail reaches
 * @param rises whether the probability grows with x (a lower tail) or falls (an upper tail)
 * @param start a first guess, above 0
 * @param tolerance the relative step at which the search stops
 */
export function invertTail(
  tailAt: (x: number) => TailAt,
  target: number,
  rises: boolean,
  start: number,
  tolerance = 2e-16,
): number {
  const logTarget = Math.log(target);
  let low = 0;
  let high = Infinity;
  let x = Math.min(Math.max(start, Number.MIN_VALUE), Number.MAX_VALUE);
  for (let round = 0; round < 200; round++) {
    const { probability, density } = tailAt(x);
    const miss = Math.log(probability) - logTarget;
    if (miss === 0) return x;
    if (miss > 0 === rises) high = x;
    else low = x;
    const slope = ((rises ? 1 : -1) * density * x) / probability;
    // A step of more than e^8 is a sign that the straight line is no guide yet.
    const step = Math.min(Math.max(-miss / slope, -8), 8);
    let next = x * Math.exp(step);
    if (!(next > low && next < high)) next = between(low, high, x);
    if (Math.abs(next - x) <= tolerance * x || next === 0 || next === Infinity) return next;
    x = next;
  }
  return x;
}

/** A point inside the bracket: its geometric middle, or a bold move where one end is still open. */
function between(low: number, high: number, x: number): number {
  if (high === Infinity) return x * 64;
  if (low === 0) return x / 64;
  return Math.sqrt(low) * Math.sqrt(high);
}
