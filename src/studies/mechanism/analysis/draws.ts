/** How often golfers are drawn for the interval of an indirect effect. */
export const DRAWS = 4999;
/** With very many golfers fewer draws tell their interval as well, and each takes longer. */
const FEWEST_DRAWS = 999;
const MANY_GOLFERS = 10_000;

/** How often so many golfers are drawn. */
export function drawsFor(golfers: number): number {
  return golfers > MANY_GOLFERS ? FEWEST_DRAWS : DRAWS;
}
