import type { Grouping, RandomColumns } from '../../design/random-columns.ts';
import type { AssembledSystem } from '../assemble-system.ts';
import type { Stage } from '../block-system.ts';
import { covarianceShape, elementPlaces, type TermShape } from '../covariance-shape.ts';
import type { Coupling, CrossedSystem } from './crossed-system.ts';
import type { LevelGraph } from './elimination-order.ts';
import { frontTree } from './fronts.ts';

/**
 * Sums the cross products of a design with crossed groups: of the random columns level by level and, where two levels
 * meet, pair by pair; of the fixed columns (column after column) and the outcome.
 */
export function assembleCrossed(
  rows: number,
  fixed: Float64Array,
  p: number,
  groupings: readonly Grouping[],
  terms: readonly RandomColumns[],
): AssembledSystem {
  const D = p + 1;
  const shapeTerms: TermShape[] = [];
  const shapeTerm = new Array<number>(terms.length).fill(0);
  const stages: Stage[] = [];
  const columns: Float64Array[] = [];
  groupings.forEach((grouping, stage) => {
    const own = terms.flatMap((term, t) => (term.group === grouping.name ? [{ term, t }] : []));
    let offset = 0;
    const placed: TermShape[] = [];
    for (const { term, t } of own) {
      shapeTerm[t] = shapeTerms.length + placed.length;
      placed.push({ stage, offset, effects: term.effects.length, kind: term.kind, copies: 1 });
      offset += term.effects.length;
    }
    shapeTerms.push(...placed);
    stages.push({
      nodes: grouping.levels.length,
      effects: offset,
      width: offset + D,
      parent: new Int32Array(grouping.levels.length),
      elements: placed.flatMap((term) => elementPlaces(term).map((places) => ({ places }))),
    });
    columns.push(
      sideBySide(
        own.map(({ term }) => term),
        rows,
      ),
    );
  });
  const places = terms.map((term, t) => {
    const { stage, offset } = shapeTerms[shapeTerm[t]!]!;
    const levels = groupings.find(({ name }) => name === term.group)!.levels.length;
    return {
      stage,
      node: Int32Array.from({ length: levels }, (_, level) => level),
      offset: new Int32Array(levels).fill(offset),
    };
  });

  const blocks = stages.map(({ nodes, effects: q, width }, s) => {
    const block = new Float64Array(nodes * q * width);
    const values = columns[s]!;
    const { at } = groupings[s]!;
    for (let i = 0; i < rows; i++)
      for (let a = 0; a < q; a++) {
        const x = values[i * q + a]!;
        if (x === 0) continue;
        const to = (at[i]! * q + a) * width;
        for (let b = 0; b < q; b++) block[to + b] = block[to + b]! + x * values[i * q + b]!;
        for (let j = 0; j < p; j++) block[to + q + j] = block[to + q + j]! + x * fixed[j * rows + i]!;
      }
    return block;
  });
  const corner = new Float64Array(D * D);
  for (let a = 0; a < p; a++)
    for (let b = 0; b <= a; b++) {
      let sum = 0;
      for (let i = 0; i < rows; i++) sum += fixed[a * rows + i]! * fixed[b * rows + i]!;
      corner[a * D + b] = sum;
      corner[b * D + a] = sum;
    }
  const couplings = groupings.flatMap((second, s) =>
    groupings
      .slice(0, s)
      .map((first, f) =>
        couplingOf(
          { stage: f, grouping: first, values: columns[f]!, effects: stages[f]!.effects },
          { stage: s, grouping: second, values: columns[s]!, effects: stages[s]!.effects },
        ),
      ),
  );

  const fillOutcome = (outcome: Float64Array): void => {
    stages.forEach(({ effects: q, width }, s) => {
      const block = blocks[s]!;
      const values = columns[s]!;
      const { at } = groupings[s]!;
      for (let to = width - 1; to < block.length; to += width) block[to] = 0;
      for (let i = 0; i < rows; i++)
        for (let a = 0; a < q; a++) {
          const to = (at[i]! * q + a + 1) * width - 1;
          block[to] = block[to]! + values[i * q + a]! * outcome[i]!;
        }
    });
    let square = 0;
    for (let i = 0; i < rows; i++) square += outcome[i]! * outcome[i]!;
    for (let a = 0; a < p; a++) {
      let sum = 0;
      for (let i = 0; i < rows; i++) sum += fixed[a * rows + i]! * outcome[i]!;
      corner[a * D + p] = sum;
      corner[p * D + a] = sum;
    }
    corner[p * D + p] = square;
  };
  const system: CrossedSystem = {
    stages,
    trailing: D,
    rows,
    blocks,
    corner,
    couplings,
    tree: frontTree(levelGraph(stages, couplings)),
  };
  return { system, shape: covarianceShape(shapeTerms), shapeTerm, places, fillOutcome };
}

/** The columns of several terms of one group, rows x effects. */
function sideBySide(terms: readonly RandomColumns[], rows: number): Float64Array {
  if (terms.length === 1) return terms[0]!.values;
  const width = terms.reduce((sum, { effects }) => sum + effects.length, 0);
  const out = new Float64Array(rows * width);
  let offset = 0;
  for (const { values, effects } of terms) {
    const q = effects.length;
    for (let i = 0; i < rows; i++)
      for (let a = 0; a < q; a++) out[i * width + offset + a] = values[i * q + a]!;
    offset += q;
  }
  return out;
}

interface Side {
  readonly stage: number;
  readonly grouping: Grouping;
  readonly values: Float64Array;
  readonly effects: number;
}

/** What the levels of two factors share, for the pairs that meet; rows are visited level by level of the first. */
function couplingOf(first: Side, second: Side): Coupling {
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

/** Levels of all stages, numbered one after another, and which of them meet. */
function levelGraph(stages: readonly Stage[], couplings: readonly Coupling[]): LevelGraph {
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
