/**
 * The pattern of a sparse symmetric positive definite matrix and of its Cholesky factor, fixed once for a design.
 * Columns are compressed: column j holds the rows `row[start[j]] = j < row[start[j] + 1] < ...` of the factor's
 * lower triangle, which contain those of the matrix.
 */
export interface SparsePattern {
  readonly size: number;
  readonly start: Int32Array;
  readonly row: Int32Array;
  /**
   * For row j of the factor its entries left of the diagonal: their places at
   * `leftPlace[leftStart[j]...]`, and in `leftEnd` where the column of each ends.
   */
  readonly leftStart: Int32Array;
  readonly leftPlace: Int32Array;
  readonly leftEnd: Int32Array;
}

/**
 * The factor's structure by nodes: for each node the later nodes it is tied to, ascending, fill included.
 * A node's ties pass to the first node it is tied to.
 * Source: George and Liu (1981), Computer Solution of Large Sparse Positive Definite Systems, chapter 5.
 */
export function filledStructure(ties: readonly (readonly number[])[]): Int32Array[] {
  const nodes = ties.length;
  const structure = new Array<Int32Array>(nodes);
  const children: number[][] = Array.from({ length: nodes }, () => []);
  const seen = new Int32Array(nodes).fill(-1);
  for (let node = 0; node < nodes; node++) {
    const found: number[] = [];
    const add = (other: number) => {
      if (other > node && seen[other] !== node) {
        seen[other] = node;
        found.push(other);
      }
    };
    for (const other of ties[node]!) add(other);
    for (const child of children[node]!) for (const other of structure[child]!) add(other);
    const sorted = Int32Array.from(found).sort();
    structure[node] = sorted;
    if (sorted.length > 0) children[sorted[0]!]!.push(node);
  }
  return structure;
}

/** Spells out a node structure effect by effect; `first[node]` is a node's first effect (one entry more than nodes). */
export function sparsePattern(structure: readonly Int32Array[], first: Int32Array): SparsePattern {
  const size = first[structure.length]!;
  const start = new Int32Array(size + 1);
  structure.forEach((later, node) => {
    let below = 0;
    for (const other of later) below += first[other + 1]! - first[other]!;
    for (let c = first[node]!; c < first[node + 1]!; c++) start[c + 1] = first[node + 1]! - c + below;
  });
  for (let c = 0; c < size; c++) start[c + 1] = start[c + 1]! + start[c]!;
  const row = new Int32Array(start[size]!);
  const leftStart = new Int32Array(size + 1);
  structure.forEach((later, node) => {
    for (let c = first[node]!; c < first[node + 1]!; c++) {
      let at = start[c]!;
      for (let r = c; r < first[node + 1]!; r++) row[at++] = r;
      for (const other of later) for (let r = first[other]!; r < first[other + 1]!; r++) row[at++] = r;
      for (let t = start[c]! + 1; t < at; t++) leftStart[row[t]! + 1] = leftStart[row[t]! + 1]! + 1;
    }
  });
  for (let r = 0; r < size; r++) leftStart[r + 1] = leftStart[r + 1]! + leftStart[r]!;
  const leftPlace = new Int32Array(leftStart[size]!);
  const leftEnd = new Int32Array(leftStart[size]!);
  const next = leftStart.slice();
  for (let c = 0; c < size; c++)
    for (let t = start[c]! + 1; t < start[c + 1]!; t++) {
      const at = next[row[t]!]!;
      leftPlace[at] = t;
      leftEnd[at] = start[c + 1]!;
      next[row[t]!] = at + 1;
    }
  return { size, start, row, leftStart, leftPlace, leftEnd };
}
