import type { Stage } from '../block-system.ts';
import type { Coupling } from './crossed-system.ts';
import type { LevelGraph } from './elimination-order.ts';

/** Levels of all stages, numbered one after another, and which of them meet. */
export function levelGraph(stages: readonly Stage[], couplings: readonly Coupling[]): LevelGraph {
  const firstLevel: number[] = [];
  let levels = 0;
  for (const { nodes } of stages) {
    firstLevel.push(levels);
    levels += nodes;
  }
  const weight = new Int32Array(levels);
  stages.forEach(({ nodes, effects }, s) => {
    weight.fill(effects, firstLevel[s]!, firstLevel[s]! + nodes);
  });
  const starts = new Int32Array(levels + 1);
  const eachPair = (visit: (one: number, two: number) => void) => {
    for (const { first, second, firstNode, secondNode } of couplings)
      for (let k = 0; k < firstNode.length; k++)
        visit(firstLevel[first]! + firstNode[k]!, firstLevel[second]! + secondNode[k]!);
  };
  eachPair((one, two) => {
    starts[one + 1] = starts[one + 1]! + 1;
    starts[two + 1] = starts[two + 1]! + 1;
  });
  for (let v = 0; v < levels; v++) starts[v + 1] = starts[v + 1]! + starts[v]!;
  const neighbours = new Int32Array(starts[levels]!);
  const next = starts.slice();
  eachPair((one, two) => {
    neighbours[next[one]!] = two;
    next[one] = next[one]! + 1;
    neighbours[next[two]!] = one;
    next[two] = next[two]! + 1;
  });
  return { weight, starts, neighbours };
}
