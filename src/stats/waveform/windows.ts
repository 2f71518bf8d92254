/** A stretch of neighbouring nodes in which an effect has one sign, both ends included. */
export interface NodeWindow {
  readonly from: number;
  readonly to: number;
  readonly sign: 1 | -1;
}

/**
 * The stretches in which `signOf` gives the same sign other than 0, in order.
 *
 * @param signOf any number with the sign of the effect at a node, from 0
 * @example windowsOf(5, (node) => [0, 1, 2, -1, 0][node]!) // [{ from: 1, to: 2, sign: 1 }, { from: 3, to: 3, sign: -1 }]
 */
export function windowsOf(nodes: number, signOf: (node: number) => number): NodeWindow[] {
  const found: NodeWindow[] = [];
  let from = 0;
  let sign = 0;
  for (let q = 0; q <= nodes; q++) {
    const here = q === nodes ? 0 : Math.sign(signOf(q));
    if (here === sign) continue;
    if (sign !== 0) found.push({ from, to: q - 1, sign: sign as 1 | -1 });
    [from, sign] = [q, here];
  }
  return found;
}
