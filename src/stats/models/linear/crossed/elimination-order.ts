/** Which levels are tied to which, level after level. */
export interface LevelGraph {
  /** Random effects of each level. */
  readonly weight: Int32Array;
  /** Neighbours of level v are `neighbours[starts[v]] ... neighbours[starts[v + 1] - 1]`. */
  readonly starts: Int32Array;
  readonly neighbours: Int32Array;
}

/** Levels eliminated together, in the order of elimination. */
export interface EliminationStep {
  readonly pivots: readonly number[];
  /** Levels still to come that are tied to each other by the elimination of the pivots. */
  readonly border: readonly number[];
}

/** Where the levels left are so densely tied, the rest is eliminated as one. */
const DENSE = 0.4;
/** So is a rest in which every level is tied to more effects than that, whatever its density: it is too large to solve. */
const HOPELESS = 8000;

/**
 * An order of elimination with little fill: the level tied to the fewest effects comes first. The degrees are the
 * usual upper bounds from a quotient graph, in which an eliminated level stands for the clique it leaves behind.
 * In designs with one large factor and smaller ones this eliminates the large one first, and nested chains from the
 * finest level up, without being told.
 * Source: Amestoy, Davis and Duff (1996), SIAM J Matrix Analysis and Applications 17, 886-905.
 */
export function eliminationOrder(graph: LevelGraph): EliminationStep[] {
  const { weight, starts, neighbours } = graph;
  const n = weight.length;
  const tied: number[][] = Array.from({ length: n }, (_, v) =>
    Array.from(neighbours.subarray(starts[v]!, starts[v + 1]!)),
  );
  /** Cliques (named by the level whose elimination made them) each level belongs to. */
  const cliques: number[][] = Array.from({ length: n }, () => []);
  const members: number[][] = Array.from({ length: n }, () => []);
  const cliqueWeight = new Float64Array(n);
  const gone = new Uint8Array(n);
  const absorbed = new Uint8Array(n);
  const degree = new Float64Array(n);
  const mark = new Int32Array(n).fill(-1);
  const outside = new Float64Array(n);
  const seen = new Int32Array(n).fill(-1);
  const queue = lowestFirst();
  let left = 0;
  for (let v = 0; v < n; v++) {
    left += weight[v]!;
    for (const u of tied[v]!) degree[v] = degree[v]! + weight[u]!;
    queue.add(v, degree[v]!);
  }
  const steps: EliminationStep[] = [];
  let remaining = n;
  while (remaining > 0) {
    const v = queue.take((u, key) => gone[u] === 0 && key === degree[u]);
    if (degree[v]! >= Math.min(HOPELESS, DENSE * (left - weight[v]!))) {
      const pivots: number[] = [];
      for (let u = 0; u < n; u++) if (gone[u] === 0) pivots.push(u);
      steps.push({ pivots, border: [] });
      break;
    }
    const border: number[] = [];
    mark[v] = v;
    const reach = (list: readonly number[]) => {
      for (let k = 0; k < list.length; k++) {
        const u = list[k]!;
        if (gone[u] === 1 || mark[u] === v) continue;
        mark[u] = v;
        border.push(u);
      }
    };
    reach(tied[v]!);
    for (const e of cliques[v]!) {
      reach(members[e]!);
      absorbed[e] = 1;
      members[e] = [];
    }
    gone[v] = 1;
    remaining--;
    left -= weight[v]!;
    tied[v] = [];
    let size = 0;
    for (const u of border) size += weight[u]!;
    members[v] = border;
    cliqueWeight[v] = size;
    steps.push({ pivots: [v], border });
    for (const u of border) {
      // What the new clique ties is not kept twice.
      const list = tied[u]!;
      let kept = 0;
      for (let k = 0; k < list.length; k++) {
        const w = list[k]!;
        if (mark[w] !== v && gone[w] === 0) list[kept++] = w;
      }
      list.length = kept;
      const own = cliques[u]!;
      kept = 0;
      for (let k = 0; k < own.length; k++) {
        const e = own[k]!;
        if (absorbed[e] === 1) continue;
        own[kept++] = e;
        if (seen[e] !== v) {
          seen[e] = v;
          outside[e] = cliqueWeight[e]!;
        }
        outside[e] = outside[e]! - weight[u]!;
      }
      own.length = kept;
    }
    for (const u of border) {
      let bound = size - weight[u]!;
      const list = tied[u]!;
      for (let k = 0; k < list.length; k++) bound += weight[list[k]!]!;
      const own = cliques[u]!;
      let kept = 0;
      for (let k = 0; k < own.length; k++) {
        const e = own[k]!;
        // A clique that lies inside the new one says nothing of its own.
        if (outside[e] === 0) continue;
        own[kept++] = e;
        bound += outside[e]!;
      }
      own.length = kept;
      own.push(v);
      degree[u] = Math.min(bound, left - weight[u]!);
      queue.add(u, degree[u]!);
    }
  }
  return steps;
}

/** A queue of levels by key, the smaller number first among equals; entries may be out of date. */
function lowestFirst() {
  const keys: number[] = [];
  const levels: number[] = [];
  const before = (a: number, b: number) =>
    keys[a]! < keys[b]! || (keys[a]! === keys[b]! && levels[a]! < levels[b]!);
  const swap = (a: number, b: number) => {
    const key = keys[a]!;
    const level = levels[a]!;
    keys[a] = keys[b]!;
    levels[a] = levels[b]!;
    keys[b] = key;
    levels[b] = level;
  };
  return {
    add(level: number, key: number): void {
      let at = keys.length;
      keys.push(key);
      levels.push(level);
      for (let up = (at - 1) >> 1; at > 0 && before(at, up); up = (at - 1) >> 1) {
        swap(at, up);
        at = up;
      }
    },
    /** Takes entries until one is still `valid`. */
    take(valid: (level: number, key: number) => boolean): number {
      for (;;) {
        const level = levels[0]!;
        const key = keys[0]!;
        swap(0, keys.length - 1);
        keys.pop();
        levels.pop();
        for (let at = 0; ; ) {
          let least = at;
          for (const child of [2 * at + 1, 2 * at + 2])
            if (child < keys.length && before(child, least)) least = child;
          if (least === at) break;
          swap(at, least);
          at = least;
        }
        if (valid(level, key)) return level;
      }
    },
  };
}
