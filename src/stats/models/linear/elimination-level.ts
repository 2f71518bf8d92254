import type { Stage } from './block-system.ts';

/**
 * What is left of the cross products when all random effects are eliminated, with exact first and second
 * derivatives with respect to every covariance element (in units of the residual variance).
 */
export interface Eliminated {
  /** log |I + Sigma Z'Z|, the log determinant of the outcome's relative covariance. */
  logDeterminant: number;
  readonly logDeterminantBy: Float64Array;
  /** m x m; zero where `curvatureKnown` is false. */
  readonly logDeterminantByTwo: Float64Array;
  /** Whether the second derivatives of the log determinant were worth their cost. */
  curvatureKnown: boolean;
  /** [X y]' V^-1 [X y], trailing x trailing. */
  readonly corner: Float64Array;
  readonly cornerBy: readonly Float64Array[];
  /** For the pair i <= j at `pairIndex(i, j)`. */
  readonly cornerByTwo: readonly Float64Array[];
}

/** Place of the pair (i, j), i <= j, in a packed upper triangle stored column by column. */
export function pairIndex(i: number, j: number): number {
  return (j * (j + 1)) / 2 + i;
}

/** Number of pairs i <= j of `count` things. */
export function pairCount(count: number): number {
  return (count * (count + 1)) / 2;
}

/** A stage at work: its blocks with finer stages taken out, and what its own nodes take from those above. */
export interface Level {
  readonly stage: Stage;
  /** Covariance elements of finer stages come before this one. */
  readonly firstElement: number;
  readonly lastElement: number;
  readonly block: Float64Array;
  readonly blockBy: readonly Float64Array[];
  readonly blockByTwo: readonly Float64Array[];
  readonly conditional: Float64Array;
  /** Sums over siblings of R' P and its derivatives; the upper triangle is filled. */
  readonly taken: Float64Array;
  readonly takenBy: readonly Float64Array[];
  readonly takenByTwo: readonly Float64Array[];
}

/** How the nodes of one level are eliminated. */
export interface LevelElimination {
  /**
   * Eliminates the siblings first..end-1: adds to `taken` (and its derivatives) and to the log determinant. False when
   * a block is not finite; what was gathered so far is then worthless.
   */
  eliminate(first: number, end: number, lambda: Float64Array, derivatives: boolean): boolean;
  /** Reads the blocks again after the outcome's columns have changed; each node counts `multiplicity` times. */
  gather(multiplicity: Float64Array | null): void;
}

/** `count` arrays of zeros, side by side in one piece of memory. */
export function zeroArrays(count: number, length: number): Float64Array[] {
  const { buffer } = new Float64Array(count * length);
  const arrays = new Array<Float64Array>(count);
  for (let i = 0; i < count; i++) arrays[i] = new Float64Array(buffer, i * length * 8, length);
  return arrays;
}
