import type { Grouping } from '../../design/random-columns.ts';
import type { Coupling } from './crossed-system.ts';

/** A grouping factor with the random columns of its levels, rows x effects. */
export interface Side {
  readonly stage: number;
  readonly grouping: Grouping;
  readonly values: Float64Array;
  readonly effects: number;
}

/** What the levels of two factors share, for the pairs that meet; rows are visited level by level of the first. */
export function couplingOf(first: Side, second: Side): Coupling {
  const rows = first.grouping.at.length;
  const order = rowsByLevel(first.grouping);
  /** The last pair each level of the second factor was found in. */
  const found = new Int32Array(second.grouping.levels.length).fill(-1);
  const firstNode: number[] = [];
  const secondNode: number[] = [];
  const pairOf = new Int32Array(rows);
  for (const i of order) {
    const one = first.grouping.at[i]!;
    const two = second.grouping.at[i]!;
    if (firstNode[found[two]!] !== one) {
      found[two] = firstNode.length;
      firstNode.push(one);
      secondNode.push(two);
    }
    pairOf[i] = found[two]!;
  }
  const q = first.effects;
  const r = second.effects;
  const values = new Float64Array(firstNode.length * q * r);
  for (let i = 0; i < rows; i++)
    for (let a = 0; a < q; a++) {
      const x = first.values[i * q + a]!;
      const to = (pairOf[i]! * q + a) * r;
      for (let b = 0; b < r; b++) values[to + b] = values[to + b]! + x * second.values[i * r + b]!;
    }
  return {
    first: first.stage,
    second: second.stage,
    firstNode: Int32Array.from(firstNode),
    secondNode: Int32Array.from(secondNode),
    values,
  };
}

function rowsByLevel({ at, levels }: Grouping): Int32Array {
  const starts = new Int32Array(levels.length + 1);
  for (const level of at) starts[level + 1] = starts[level + 1]! + 1;
  for (let l = 0; l < levels.length; l++) starts[l + 1] = starts[l + 1]! + starts[l]!;
  const order = new Int32Array(at.length);
  at.forEach((level, i) => {
    order[starts[level]!] = i;
    starts[level] = starts[level]! + 1;
  });
  return order;
}
