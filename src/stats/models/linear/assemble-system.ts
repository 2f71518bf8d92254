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

interface StageColumns {
  readonly groupings: readonly Grouping[];
  readonly effects: number;
  readonly node: Int32Array;
  /** Terms with the grouping they belong to, and the first effect of that term's level 0. */
  readonly parts: readonly { readonly term: number; readonly grouping: Grouping; readonly offset: number }[];
  readonly shared: boolean;
}

/** Sums the cross products of the random columns, the fixed columns (column after column) and the outcome. */
export function assembleSystem(
  rows: number,
  fixed: Float64Array,
  p: number,
  groupings: readonly Grouping[],
  terms: readonly RandomColumns[],
): AssembledSystem {
  const { chain, crossed } = groupTree(groupings);
  if (crossed.length > 0) return assembleCrossed(rows, fixed, p, groupings, terms);
  const termsOf = (grouping: Grouping) =>
    terms.flatMap((term, t) => (term.group === grouping.name ? [{ term, t }] : []));
  const stageColumns: StageColumns[] = chain.map((grouping) => {
    let effects = 0;
    const parts = termsOf(grouping).map(({ term, t }) => {
      const part = { term: t, grouping, offset: effects };
      effects += term.effects.length;
      return part;
    });
    return { groupings: [grouping], effects, node: grouping.at, parts, shared: false };
  });
  if (crossed.length > 0) {
    let effects = 0;
    const parts = crossed.flatMap((grouping) =>
      termsOf(grouping).map(({ term, t }) => {
        const part = { term: t, grouping, offset: effects };
        effects += term.effects.length * grouping.levels.length;
        return part;
      }),
    );
    stageColumns.push({ groupings: crossed, effects, node: new Int32Array(rows), parts, shared: true });
  }
  const count = stageColumns.length;
  const orders = siblingOrders(stageColumns, rows);
  const widths = new Array<number>(count).fill(0);
  let width = p + 1;
  for (let s = count - 1; s >= 0; s--) {
    width += stageColumns[s]!.effects;
    widths[s] = width;
  }

  const shapeTerms: TermShape[] = [];
  const shapeTerm = new Array<number>(terms.length).fill(0);
  const places = new Array<TermPlace>(terms.length);
  stageColumns.forEach((stage, s) => {
    for (const { term, grouping, offset } of stage.parts) {
      const effects = terms[term]!.effects.length;
      shapeTerm[term] = shapeTerms.length;
      shapeTerms.push({
        stage: s,
        offset,
        effects,
        kind: terms[term]!.kind,
        copies: stage.shared ? grouping.levels.length : 1,
      });
      const levels = grouping.levels.length;
      places[term] = {
        stage: s,
        node: stage.shared ? new Int32Array(levels) : orders[s]!.place,
        offset: Int32Array.from(
          { length: levels },
          (_, level) => offset + (stage.shared ? level * effects : 0),
        ),
      };
    }
  });
  const stages: Stage[] = stageColumns.map((stage, s) => ({
    nodes: orders[s]!.place.length,
    effects: stage.effects,
    width: widths[s]!,
    parent: orders[s]!.parent,
    elements: shapeTerms.flatMap((term) =>
      term.stage === s ? elementPlaces(term).map((placed) => ({ places: placed })) : [],
    ),
  }));

  const D = p + 1;
  const blocks = stages.map((stage) => new Float64Array(stage.nodes * stage.effects * stage.width));
  const corner = new Float64Array(D * D);
  const full = widths[0] ?? D;
  const firstFixed = full - D;
  const row = new Float64Array(full);
  const starts = widths.map((w) => full - w);
  /** Fills `row` with the random columns of data row i. */
  const fillRandom = (i: number): void => {
    row.fill(0, 0, firstFixed);
    stageColumns.forEach((stage, s) => {
      for (const { term, grouping, offset } of stage.parts) {
        const { values, effects } = terms[term]!;
        const q = effects.length;
        const to = starts[s]! + offset + (stage.shared ? grouping.at[i]! * q : 0);
        for (let a = 0; a < q; a++) row[to + a] = values[i * q + a]!;
      }
    });
  };
  const blockStart = (s: number, i: number) =>
    orders[s]!.place[stageColumns[s]!.node[i]!]! * stages[s]!.effects * widths[s]!;
  for (let i = 0; i < rows; i++) {
    fillRandom(i);
    for (let j = 0; j < p; j++) row[firstFixed + j] = fixed[j * rows + i]!;
    for (let s = 0; s < count; s++) {
      const block = blocks[s]!;
      const start = starts[s]!;
      const w = widths[s]!;
      const base = blockStart(s, i);
      for (let a = 0; a < stages[s]!.effects; a++) {
        const x = row[start + a]!;
        if (x === 0) continue;
        for (let c = 0; c < w - 1; c++)
          block[base + a * w + c] = block[base + a * w + c]! + x * row[start + c]!;
      }
    }
    for (let a = 0; a < p; a++)
      for (let c = 0; c < p; c++)
        corner[a * D + c] = corner[a * D + c]! + row[firstFixed + a]! * row[firstFixed + c]!;
  }

  const fillOutcome = (outcome: Float64Array): void => {
    for (let s = 0; s < count; s++) {
      const block = blocks[s]!;
      const w = widths[s]!;
      for (let at = w - 1; at < block.length; at += w) block[at] = 0;
    }
    for (let a = 0; a <= p; a++) {
      corner[a * D + p] = 0;
      corner[p * D + a] = 0;
    }
    let square = 0;
    for (let i = 0; i < rows; i++) {
      const y = outcome[i]!;
      square += y * y;
      for (let s = 0; s < count; s++) {
        const block = blocks[s]!;
        const w = widths[s]!;
        const base = blockStart(s, i) + w - 1;
        for (const { term, grouping, offset } of stageColumns[s]!.parts) {
          const { values, effects } = terms[term]!;
          const q = effects.length;
          const to = offset + (stageColumns[s]!.shared ? grouping.at[i]! * q : 0);
          for (let a = 0; a < q; a++) {
            const at = base + (to + a) * w;
            block[at] = block[at]! + values[i * q + a]! * y;
          }
        }
      }
      for (let a = 0; a < p; a++) corner[a * D + p] = corner[a * D + p]! + fixed[a * rows + i]! * y;
    }
    for (let a = 0; a < p; a++) corner[p * D + a] = corner[a * D + p]!;
    corner[p * D + p] = square;
  };
  return {
    system: { stages, trailing: D, rows, blocks, corner },
    shape: covarianceShape(shapeTerms),
    shapeTerm,
    places,
    fillOutcome,
  };
}

/** For each stage a numbering of its nodes that keeps siblings together, and each node's parent. */
function siblingOrders(
  stages: readonly StageColumns[],
  rows: number,
): { place: Int32Array; parent: Int32Array }[] {
  const orders = new Array<{ place: Int32Array; parent: Int32Array }>(stages.length);
  for (let s = stages.length - 1; s >= 0; s--) {
    const { groupings, node, shared } = stages[s]!;
    const nodes = shared ? 1 : groupings[0]!.levels.length;
    const above = orders[s + 1];
    const parentOf = new Int32Array(nodes);
    if (above) for (let i = 0; i < rows; i++) parentOf[node[i]!] = above.place[stages[s + 1]!.node[i]!]!;
    const sorted = Array.from({ length: nodes }, (_, i) => i).sort(
      (a, b) => parentOf[a]! - parentOf[b]! || a - b,
    );
    const place = new Int32Array(nodes);
    sorted.forEach((level, at) => {
      place[level] = at;
    });
    orders[s] = { place, parent: Int32Array.from(sorted, (level) => parentOf[level]!) };
  }
  return orders;
}
