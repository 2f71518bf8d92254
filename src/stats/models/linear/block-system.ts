/**
 * The cross products of a mixed model, laid out for elimination from the finest groups to the coarsest.
 *
 * Columns are ordered [effects of stage 0 | effects of stage 1 | ... | fixed effects | outcome]. A stage is one
 * grouping factor, finest first; each of its levels (a node) lies inside one node of the next stage. A node
 * keeps only its own rows of the cross products: q rows, `width` columns (its own effects, those of the nodes
 * above it, the fixed effects, the outcome). Factors that are not all nested
 * have another layout (crossed/crossed-system.ts).
 *
 * Nothing here grows with the number of rows of data.
 */

/** One free element of a covariance matrix: where it stands inside the stage's own effects. */
export interface CovarianceElement {
  /** Pairs (row, column), flat; an off-diagonal element stands at both of its places. */
  readonly places: Int32Array;
}

export interface Stage {
  readonly nodes: number;
  /** Random effects of one node. */
  readonly effects: number;
  /** Columns a node's rows keep. */
  readonly width: number;
  /** For each node its node in the next stage; all zero for the last stage. */
  readonly parent: Int32Array;
  readonly elements: readonly CovarianceElement[];
}

export interface BlockSystem {
  readonly stages: readonly Stage[];
  /** Fixed effects plus one for the outcome. */
  readonly trailing: number;
  readonly rows: number;
  /** Cross products of each stage's nodes, node after node, row-major. */
  readonly blocks: readonly Float64Array[];
  /** Cross products of [fixed | outcome], row-major. */
  readonly corner: Float64Array;
}

/** Number of covariance elements over all stages. */
export function countElements(system: BlockSystem): number {
  return system.stages.reduce((sum, stage) => sum + stage.elements.length, 0);
}
