import type { ModelProblem } from '../../contract.ts';
import { groupTree } from '../../design/group-tree.ts';
import type { Grouping, RandomColumns } from '../../design/random-columns.ts';
import { type CovarianceShape, covarianceShape } from '../../linear/covariance-shape.ts';
import { filledStructure, type SparsePattern, sparsePattern } from './sparse-pattern.ts';

/** Multiplications of one factorisation. */
const MOST_WORK = 3e9;

/**
 * Where every row's random effects stand. Effects are numbered in the order of elimination: nested groups from the
 * finest to the coarsest, then the groups that are crossed with them; a level's effects follow each other.
 */
export interface RandomLayout {
  readonly effects: number;
  /** Random effects that touch one row. */
  readonly perRow: number;
  /** rows x perRow: the number of each of the row's effects, ascending. */
  readonly effect: Int32Array;
  /** rows x perRow (perRow + 1) / 2: places in the pattern of the pairs (0,0), (1,0), (1,1), (2,0)... of a row's effects. */
  readonly pair: Int32Array;
  readonly pattern: SparsePattern;
  /** For each random term: its first slot in a row, and the first effect of each level. */
  readonly terms: readonly { readonly slot: number; readonly first: Int32Array }[];
  readonly shape: CovarianceShape;
}

/** Lays out the random terms of a model, or says why that would be too large; `rows` is the number of rows of data. */
export function randomLayout(
  rows: number,
  groupings: readonly Grouping[],
  columns: readonly RandomColumns[],
): RandomLayout | ModelProblem {
  const { chain, crossed } = groupTree(groupings);
  const order = [...chain, ...crossed];
  const slots = new Array<number>(columns.length).fill(0);
  const width: number[] = [];
  const firstSlot: number[] = [];
  let perRow = 0;
  order.forEach((grouping) => {
    firstSlot.push(perRow);
    columns.forEach((term, t) => {
      if (term.group !== grouping.name) return;
      slots[t] = perRow;
      perRow += term.effects.length;
    });
    width.push(perRow - firstSlot.at(-1)!);
  });
  const firstNode: number[] = [];
  let nodes = 0;
  for (const grouping of order) {
    firstNode.push(nodes);
    nodes += grouping.levels.length;
  }
  const first = new Int32Array(nodes + 1);
  order.forEach((grouping, g) => {
    for (let level = 0; level < grouping.levels.length; level++)
      first[firstNode[g]! + level + 1] = first[firstNode[g]! + level]! + width[g]!;
  });

  const members = order.map((grouping) => rowsByLevel(grouping, rows));
  const structure = filledStructure(tiesOf(order, members, firstNode, nodes));
  const crowded = closelyCrossed(structure, first, groupings);
  if (crowded) return crowded;
  const pattern = sparsePattern(structure, first);

  const effect = new Int32Array(rows * perRow);
  const pairs = (perRow * (perRow + 1)) / 2;
  const pair = new Int32Array(rows * pairs);
  /** Where, below a node's own effects, each later node's effects begin. */
  const below = new Int32Array(nodes);
  order.forEach((grouping, g) => {
    const q = width[g]!;
    for (let level = 0; level < grouping.levels.length; level++) {
      const node = firstNode[g]! + level;
      const own = first[node]!;
      let at = 0;
      for (const other of structure[node]!) {
        below[other] = at;
        at += first[other + 1]! - first[other]!;
      }
      for (let m = members[g]!.start[level]!; m < members[g]!.start[level + 1]!; m++) {
        const i = members[g]!.rows[m]!;
        for (let a = 0; a < q; a++) {
          const r = firstSlot[g]! + a;
          const column = pattern.start[own + a]!;
          effect[i * perRow + r] = own + a;
          for (let b = a; b < q; b++) pair[i * pairs + pairAt(firstSlot[g]! + b, r)] = column + b - a;
          for (let h = g + 1; h < order.length; h++) {
            const other = firstNode[h]! + order[h]!.at[i]!;
            for (let b = 0; b < width[h]!; b++)
              pair[i * pairs + pairAt(firstSlot[h]! + b, r)] = column + q - a + below[other]! + b;
          }
        }
      }
    }
  });
  return {
    effects: pattern.size,
    perRow,
    effect,
    pair,
    pattern,
    terms: columns.map((term, t) => {
      const g = order.findIndex(({ name }) => name === term.group);
      const offset = slots[t]! - firstSlot[g]!;
      return {
        slot: slots[t]!,
        first: Int32Array.from(order[g]!.levels, (_, level) => first[firstNode[g]! + level]! + offset),
      };
    }),
    shape: covarianceShape(
      columns.map(({ effects, kind }, t) => ({
        stage: 0,
        offset: slots[t]!,
        effects: effects.length,
        kind,
        copies: 1,
      })),
    ),
  };
}

/** Groups crossed so closely that each of some hundred factorisations would take longer than a second or two. */
function closelyCrossed(
  structure: readonly Int32Array[],
  first: Int32Array,
  groupings: readonly Grouping[],
): ModelProblem | null {
  let work = 0;
  structure.forEach((later, node) => {
    const own = first[node + 1]! - first[node]!;
    let width = own;
    for (const other of later) width += first[other + 1]! - first[other]!;
    work += own * width * width;
  });
  if (work <= MOST_WORK) return null;
  return {
    kind: 'not-available',
    where: '/random',
    found: `${groupings.map(({ name, levels }) => `${name} (${levels.length} levels)`).join(', ')}: crossed so closely that each step of the search needs ${work.toExponential(1)} multiplications`,
    expected: `at most ${MOST_WORK.toExponential(0)}, as for some 1500 effects that are all tied to each other`,
    remedy:
      'Leave out the crossed group that matters least, its slopes, or fit a part of the data. Nested groups have no such limit.',
  };
}

/** Place of the pair of slots a >= b in a row's list of pairs. */
function pairAt(a: number, b: number): number {
  return (a * (a + 1)) / 2 + b;
}

/** rows x perRow x perRow: the places of `pair` for every two slots of a row, in both orders. */
export function pairGrid({ pair, perRow }: RandomLayout, rows: number): Int32Array {
  const grid = new Int32Array(rows * perRow * perRow);
  const pairs = (perRow * (perRow + 1)) / 2;
  for (let i = 0; i < rows; i++)
    for (let r = 0; r < perRow; r++)
      for (let s = 0; s <= r; s++) {
        const place = pair[i * pairs + pairAt(r, s)]!;
        grid[(i * perRow + r) * perRow + s] = place;
        grid[(i * perRow + s) * perRow + r] = place;
      }
  return grid;
}

interface Members {
  readonly start: Int32Array;
  readonly rows: Int32Array;
}

function rowsByLevel({ at, levels }: Grouping, rows: number): Members {
  const start = new Int32Array(levels.length + 1);
  for (let i = 0; i < rows; i++) start[at[i]! + 1] = start[at[i]! + 1]! + 1;
  for (let level = 0; level < levels.length; level++) start[level + 1] = start[level + 1]! + start[level]!;
  const next = start.slice();
  const sorted = new Int32Array(rows);
  for (let i = 0; i < rows; i++) {
    sorted[next[at[i]!]!] = i;
    next[at[i]!] = next[at[i]!]! + 1;
  }
  return { start, rows: sorted };
}

/** For each node the nodes of later groupings it shares a row with. */
function tiesOf(
  order: readonly Grouping[],
  members: readonly Members[],
  firstNode: readonly number[],
  nodes: number,
): number[][] {
  const ties: number[][] = Array.from({ length: nodes }, () => []);
  const seen = new Int32Array(nodes).fill(-1);
  order.forEach((grouping, g) => {
    for (let level = 0; level < grouping.levels.length; level++) {
      const node = firstNode[g]! + level;
      for (let m = members[g]!.start[level]!; m < members[g]!.start[level + 1]!; m++)
        for (let h = g + 1; h < order.length; h++) {
          const other = firstNode[h]! + order[h]!.at[members[g]!.rows[m]!]!;
          if (seen[other] === node) continue;
          seen[other] = node;
          ties[node]!.push(other);
        }
    }
  });
  return ties;
}
