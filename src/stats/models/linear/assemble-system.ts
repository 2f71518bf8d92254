import { groupTree } from '../design/group-tree.ts';
import type { Grouping, RandomColumns } from '../design/random-columns.ts';
import type { BlockSystem, Stage } from './block-system.ts';
import { type CovarianceShape, covarianceShape, elementPlaces, type TermShape } from './covariance-shape.ts';
import { assembleCrossed } from './crossed/assemble-crossed.ts';

/** Where one level's effects of one random term live in the system. */
export interface TermPlace {
  readonly stage: number;
  /** Node of a level. */
  readonly node: Int32Array;
  /** First effect of a level inside its node. */
  readonly offset: Int32Array;
}

export interface AssembledSystem {
  readonly system: BlockSystem;
  readonly shape: CovarianceShape;
  /** For each random term as the model names it: its place in `shape.terms`. */
  readonly shapeTerm: readonly number[];
  /** For each random term as the model names it. */
  readonly places: readonly TermPlace[];
  /** Replaces the outcome (length rows, in the system's units). */
  fillOutcome(outcome: Float64Array): void;
}

/** A stage's random columns, rows x effects. */
interface StageColumns {
  readonly grouping: Grouping;
  readonly effects: number;
  readonly values: Float64Array;
  readonly parts: readonly { readonly term: number; readonly offset: number }[];
}

/**
 * Sums the cross products of the random columns, the fixed columns (column after column) and the outcome. `observations`
 * is the number of rows of data, where the entries of the columns only stand in for them (sums/).
 */
export function assembleSystem(
  rows: number,
  fixed: Float64Array,
  p: number,
  groupings: readonly Grouping[],
  terms: readonly RandomColumns[],
  observations = rows,
): AssembledSystem {
  const { chain, crossed } = groupTree(groupings);
  if (crossed.length > 0) return assembleCrossed(rows, fixed, p, groupings, terms);
  const columns = chain.map((grouping) => stageColumns(grouping, terms, rows));
  const count = columns.length;
  const D = p + 1;
  const orders = siblingOrders(chain, rows);
  const widths = new Array<number>(count).fill(0);
  let full = D;
  for (let s = count - 1; s >= 0; s--) {
    full += columns[s]!.effects;
    widths[s] = full;
  }
  const shapeTerms: TermShape[] = [];
  const shapeTerm = new Array<number>(terms.length).fill(0);
  const places = new Array<TermPlace>(terms.length);
  columns.forEach(({ grouping, parts }, s) => {
    for (const { term, offset } of parts) {
      const { effects, kind } = terms[term]!;
      shapeTerm[term] = shapeTerms.length;
      shapeTerms.push({ stage: s, offset, effects: effects.length, kind, copies: 1 });
      places[term] = {
        stage: s,
        node: orders[s]!.place,
        offset: new Int32Array(grouping.levels.length).fill(offset),
      };
    }
  });
  const stages: Stage[] = columns.map(({ effects }, s) => ({
    nodes: orders[s]!.place.length,
    effects,
    width: widths[s]!,
    parent: orders[s]!.parent,
    elements: shapeTerms.flatMap((term) =>
      term.stage === s ? elementPlaces(term).map((placed) => ({ places: placed })) : [],
    ),
  }));

  const blocks = stages.map((stage) => new Float64Array(stage.nodes * stage.effects * stage.width));
  /** Where the block of row i's node begins in stage s. */
  const starts = columns.map(({ grouping, effects }, s) => {
    const { place } = orders[s]!;
    const size = effects * widths[s]!;
    const at = new Int32Array(rows);
    for (let i = 0; i < rows; i++) at[i] = place[grouping.at[i]!]! * size;
    return at;
  });
  for (let s = 0; s < count; s++) {
    const own = columns[s]!;
    const add = (a: number, to: number, values: Float64Array, first: number, step: number) =>
      addProducts(
        blocks[s]!,
        starts[s]!,
        a * widths[s]! + to,
        own.values,
        a,
        own.effects,
        values,
        first,
        step,
      );
    for (let a = 0; a < own.effects; a++) {
      let to = 0;
      for (let t = s; t < count; t++) {
        const { values, effects } = columns[t]!;
        for (let c = 0; c < effects; c++) add(a, to++, values, c, effects);
      }
      for (let j = 0; j < p; j++) add(a, to++, fixed, j * rows, 1);
    }
  }
  const corner = new Float64Array(D * D);
  for (let a = 0; a < p; a++)
    for (let b = 0; b <= a; b++) {
      let sum = 0;
      for (let i = 0, x = a * rows, y = b * rows; i < rows; i++) sum += fixed[x++]! * fixed[y++]!;
      corner[a * D + b] = sum;
      corner[b * D + a] = sum;
    }

  const fillOutcome = (outcome: Float64Array): void => {
    for (let s = 0; s < count; s++) {
      const block = blocks[s]!;
      const { values, effects } = columns[s]!;
      const w = widths[s]!;
      for (let at = w - 1; at < block.length; at += w) block[at] = 0;
      for (let a = 0; a < effects; a++)
        addProducts(block, starts[s]!, a * w + w - 1, values, a, effects, outcome, 0, 1);
    }
    for (let a = 0; a <= p; a++) {
      let sum = 0;
      if (a < p) for (let i = 0, x = a * rows; i < rows; i++) sum += fixed[x++]! * outcome[i]!;
      else for (let i = 0; i < rows; i++) sum += outcome[i]! * outcome[i]!;
      corner[a * D + p] = sum;
      corner[p * D + a] = sum;
    }
  };
  return {
    system: { stages, trailing: D, rows: observations, blocks, corner },
    shape: covarianceShape(shapeTerms),
    shapeTerm,
    places,
    fillOutcome,
  };
}

/** For each row i: block[starts[i] + to] += x[xFirst + i xStep] y[yFirst + i yStep]. */
function addProducts(
  block: Float64Array,
  starts: Int32Array,
  to: number,
  x: Float64Array,
  xFirst: number,
  xStep: number,
  y: Float64Array,
  yFirst: number,
  yStep: number,
): void {
  for (let i = 0, xAt = xFirst, yAt = yFirst; i < starts.length; i++, xAt += xStep, yAt += yStep) {
    const at = starts[i]! + to;
    block[at] = block[at]! + x[xAt]! * y[yAt]!;
  }
}

/** The columns of all terms of one group side by side. */
function stageColumns(grouping: Grouping, terms: readonly RandomColumns[], rows: number): StageColumns {
  const parts: { term: number; offset: number }[] = [];
  let effects = 0;
  terms.forEach((term, t) => {
    if (term.group !== grouping.name) return;
    parts.push({ term: t, offset: effects });
    effects += term.effects.length;
  });
  if (parts.length === 1) return { grouping, effects, values: terms[parts[0]!.term]!.values, parts };
  const values = new Float64Array(rows * effects);
  for (const { term, offset } of parts) {
    const from = terms[term]!.values;
    const q = terms[term]!.effects.length;
    for (let i = 0; i < rows; i++)
      for (let a = 0; a < q; a++) values[i * effects + offset + a] = from[i * q + a]!;
  }
  return { grouping, effects, values, parts };
}

/** For each stage a numbering of its nodes that keeps siblings together, and each node's parent. */
function siblingOrders(
  chain: readonly Grouping[],
  rows: number,
): { place: Int32Array; parent: Int32Array }[] {
  const orders = new Array<{ place: Int32Array; parent: Int32Array }>(chain.length);
  for (let s = chain.length - 1; s >= 0; s--) {
    const { levels, at } = chain[s]!;
    const nodes = levels.length;
    const above = orders[s + 1];
    const place = new Int32Array(nodes);
    if (!above) {
      for (let node = 0; node < nodes; node++) place[node] = node;
      orders[s] = { place, parent: new Int32Array(nodes) };
      continue;
    }
    const parentOf = new Int32Array(nodes);
    const outer = chain[s + 1]!.at;
    for (let i = 0; i < rows; i++) parentOf[at[i]!] = above.place[outer[i]!]!;
    // Counting keeps the order of the names among siblings.
    const next = new Int32Array(chain[s + 1]!.levels.length + 1);
    for (let node = 0; node < nodes; node++) next[parentOf[node]! + 1] = next[parentOf[node]! + 1]! + 1;
    for (let at = 1; at < next.length; at++) next[at] = next[at]! + next[at - 1]!;
    const parent = new Int32Array(nodes);
    for (let node = 0; node < nodes; node++) {
      const to = next[parentOf[node]!]!;
      next[parentOf[node]!] = to + 1;
      place[node] = to;
      parent[to] = parentOf[node]!;
    }
    orders[s] = { place, parent };
  }
  return orders;
}
