import type { Grouping, RandomColumns } from '../../design/random-columns.ts';
import type { AssembledSystem } from '../assemble-system.ts';
import type { Stage } from '../block-system.ts';
import { covarianceShape, elementPlaces, type TermShape } from '../covariance-shape.ts';
import { couplingOf } from './coupling.ts';
import type { CrossedSystem } from './crossed-system.ts';
import { frontTree } from './fronts.ts';
import { levelGraph } from './level-graph.ts';

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
