import { pairCount } from './elimination-level.ts';

/** Nodes of one parent whose own cross products are the same to the last bit. */
export interface NodeClass {
  /** Where the class's own q x q block starts in the stage's blocks: that of its first node. */
  readonly at: number;
  readonly nodes: readonly number[];
}

/** The classes of the sibling nodes first..end-1, whose rows start every `stride` entries of `block`. */
export function siblingClasses(
  block: Float64Array,
  first: number,
  end: number,
  q: number,
  width: number,
): NodeClass[] {
  const stride = q * width;
  const byCorner = new Map<number, { at: number; nodes: number[] }[]>();
  const classes: { at: number; nodes: number[] }[] = [];
  for (let node = first; node < end; node++) {
    const at = node * stride;
    const alike = byCorner.get(block[at]!);
    const found = alike?.find((candidate) => sameBlock(block, candidate.at, at, q, width));
    if (found) {
      found.nodes.push(node);
      continue;
    }
    const made = { at, nodes: [node] };
    classes.push(made);
    if (alike) alike.push(made);
    else byCorner.set(block[at]!, [made]);
  }
  return classes;
}

function sameBlock(block: Float64Array, one: number, other: number, q: number, width: number): boolean {
  for (let a = 0; a < q; a++)
    for (let b = 0; b <= a; b++)
      if (block[one + a * width + b] !== block[other + a * width + b]) return false;
  return true;
}

/**
 * Adds weight x (R_k' R_l + R_l' R_k) (R_k' R_k once for k = l) of one node to `into`, where R_k is the k-th of the
 * node's q rows of couplings: pairs k <= l one after the other, each an upper triangle packed by columns.
 */
export function addCouplings(
  into: Float64Array,
  start: number,
  block: Float64Array,
  node: number,
  q: number,
  width: number,
  weight: number,
): void {
  const r = width - q;
  const packed = pairCount(r);
  for (let l = 0, to = start; l < q; l++)
    for (let k = 0; k <= l; k++, to += packed) {
      const one = (node * q + k) * width + q;
      const other = (node * q + l) * width + q;
      for (let c = 0, at = to; c < r; c++) {
        const x = weight * block[one + c]!;
        if (k === l) for (let a = 0; a <= c; a++, at++) into[at] = into[at]! + x * block[one + a]!;
        else {
          const y = weight * block[other + c]!;
          for (let a = 0; a <= c; a++, at++)
            into[at] = into[at]! + x * block[other + a]! + y * block[one + a]!;
        }
      }
    }
}
