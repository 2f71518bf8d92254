import { type EliminationStep, eliminationOrder, type LevelGraph } from './elimination-order.ts';

/**
 * Effects eliminated together, with those still to come that they are tied to: a small dense matrix of which the
 * columns of the pivots become columns of the Cholesky factor.
 */
export interface Front {
  /** Position of the first pivot; the pivots follow one another. */
  readonly first: number;
  readonly pivots: number;
  /** Positions of the effects on the border, ascending. */
  readonly border: Int32Array;
  /** Where the front's columns (rows x pivots) begin in the array of all columns. */
  readonly panelAt: number;
  /** The front that holds the first effect of the border; -1 where there is no border. */
  readonly parent: number;
  /** Where each effect of the border stands among the parent's rows (pivots, then border). */
  readonly inParent: Int32Array;
  readonly children: readonly number[];
}

export interface FrontTree {
  readonly fronts: readonly Front[];
  readonly effects: number;
  /** Position of each level's first effect. */
  readonly position: Int32Array;
  /** Front in which each level is eliminated. */
  readonly frontOf: Int32Array;
  /** Length of the array of all columns. */
  readonly panelLength: number;
}

/** Two fronts are made one where at most this share of the later one's rows is filled in with zeros. */
const FILL = 0.25;

/** The fronts of a fill-reducing elimination, children before parents. */
export function frontTree(graph: LevelGraph): FrontTree {
  const { weight } = graph;
  const merged = mergeSteps(eliminationOrder(graph), weight);
  const n = weight.length;
  const position = new Int32Array(n);
  const frontOf = new Int32Array(n);
  let effects = 0;
  merged.forEach(({ pivots }, f) => {
    for (const v of pivots) {
      position[v] = effects;
      frontOf[v] = f;
      effects += weight[v]!;
    }
  });
  const children: number[][] = merged.map(() => []);
  const first: number[] = [];
  const sizes = merged.map(({ pivots }) => totalWeight(pivots, weight));
  let at = 0;
  for (const size of sizes) {
    first.push(at);
    at += size;
  }
  const borders = merged.map(({ border }) => {
    const out = new Int32Array(totalWeight(border, weight));
    let k = 0;
    for (const v of border) for (let a = 0; a < weight[v]!; a++) out[k++] = position[v]! + a;
    return out.sort();
  });
  let panelLength = 0;
  const place = new Int32Array(effects);
  const fronts = merged.map(({ border }, f): Front => {
    const parent = earliest(border, frontOf);
    const panelAt = panelLength;
    panelLength += (sizes[f]! + borders[f]!.length) * sizes[f]!;
    let inParent = new Int32Array(0);
    if (parent >= 0) {
      children[parent]!.push(f);
      for (let k = 0; k < sizes[parent]!; k++) place[first[parent]! + k] = k;
      borders[parent]!.forEach((to, k) => {
        place[to] = sizes[parent]! + k;
      });
      inParent = borders[f]!.map((to) => place[to]!);
    }
    return {
      first: first[f]!,
      pivots: sizes[f]!,
      border: borders[f]!,
      panelAt,
      parent,
      inParent,
      children: children[f]!,
    };
  });
  return { fronts, effects, position, frontOf, panelLength };
}

/** Joins a step to the one that follows it where both have almost the same border. */
function mergeSteps(steps: readonly EliminationStep[], weight: Int32Array): EliminationStep[] {
  const stepOf = new Int32Array(weight.length);
  steps.forEach(({ pivots }, s) => {
    for (const v of pivots) stepOf[v] = s;
  });
  const pivots = steps.map((step) => [...step.pivots]);
  const rows = steps.map((step) => totalWeight(step.pivots, weight) + totalWeight(step.border, weight));
  const joined = new Uint8Array(steps.length);
  steps.forEach((step, s) => {
    if (step.border.length === 0) return;
    const parent = earliest(step.border, stepOf);
    const border = totalWeight(step.border, weight);
    if (rows[parent]! - border > FILL * rows[parent]!) return;
    joined[s] = 1;
    rows[parent] = rows[parent]! + totalWeight(pivots[s]!, weight);
    pivots[parent] = [...pivots[s]!, ...pivots[parent]!];
  });
  return steps.flatMap((step, s) => (joined[s] === 1 ? [] : [{ pivots: pivots[s]!, border: step.border }]));
}

function totalWeight(levels: readonly number[], weight: Int32Array): number {
  let sum = 0;
  for (const v of levels) sum += weight[v]!;
  return sum;
}

/** The smallest of the numbers given to some levels, or -1 for none. */
function earliest(levels: readonly number[], numberOf: Int32Array): number {
  let least = -1;
  for (const v of levels) if (least < 0 || numberOf[v]! < least) least = numberOf[v]!;
  return least;
}
