/**
 * The integral over the whole real line of a function that is positive, smooth, has one hump and dies out on
 * both sides: the trapezoid rule, started at the hump and stopped where the terms no longer count. Its error is
 * squared each time the step is halved, so two sums that agree to 8 digits leave an error near rounding. Since
 * nothing is subtracted, a tiny integral keeps its digits.
 * Source: Trefethen and Weideman (2014), SIAM Review 56, 385-458.
 *
 * @param f positive, with one hump
 * @param start where to look for the hump; where f is zero there in floating point, the hump is looked for to the left
 * @param width about how wide the hump is: the first step
 * @param tolerance relative change at which halving stops
 * @example integrateLine((x) => Math.exp(-x * x)) // 1.7724538509055159, the root of pi
 */
export function integrateLine(f: (x: number) => number, start = 0, width = 1, tolerance = 1e-8): number {
  const centre = climb(f, start, width);
  let step = width;
  let sum = f(centre) + armSum(f, centre, step, step) + armSum(f, centre, -step, -step);
  let found = sum * step;
  for (let round = 0; round < 12; round++) {
    const half = step / 2;
    sum += armSum(f, centre, half, step) + armSum(f, centre, -half, -step);
    step = half;
    const better = sum * step;
    if (Math.abs(better - found) <= tolerance * better || better === 0) return better;
    found = better;
  }
  return found;
}

/** Walks uphill in steps that grow, then halves them. */
function climb(f: (x: number) => number, start: number, width: number): number {
  let at = start;
  let value = f(at);
  for (let j = 0; value === 0 && j < 1000; j++) {
    at -= width;
    value = f(at);
  }
  for (let stride = width; stride > width / 4; ) {
    const right = f(at + stride);
    const left = f(at - stride);
    if (right > value && right >= left) {
      at += stride;
      value = right;
      stride *= 2;
    } else if (left > value) {
      at -= stride;
      value = left;
      stride *= 2;
    } else stride /= 2;
  }
  return at;
}

/** The sum of f at centre + first, then every `step` on, until three terms in a row no longer count. */
function armSum(f: (x: number) => number, centre: number, first: number, step: number): number {
  let sum = 0;
  let still = 0;
  for (let j = 0; still < 3; j++) {
    const term = f(centre + first + j * step);
    sum += term;
    // A term that is no number ends the sum too, which then is none.
    still = term > 1e-18 * sum ? 0 : still + 1;
  }
  return sum;
}
