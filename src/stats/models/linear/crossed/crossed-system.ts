import type { BlockSystem } from '../block-system.ts';
import type { FrontTree } from './fronts.ts';

/** Cross products of the levels of two grouping factors that meet in at least one row. */
export interface Coupling {
  /** Stages of the two factors, first < second. */
  readonly first: number;
  readonly second: number;
  /** For each meeting pair the level in either factor. */
  readonly firstNode: Int32Array;
  readonly secondNode: Int32Array;
  /** Pair after pair, effects of the first x effects of the second, row-major. */
  readonly values: Float64Array;
}

/**
 * The cross products of a mixed model whose grouping factors are not all nested. Every factor is a stage of its own
 * whose nodes keep their own block, the fixed effects and the outcome; what two levels share is a coupling. Levels that
 * never meet take no room. Levels are numbered stage after stage in `tree`.
 */
export interface CrossedSystem extends BlockSystem {
  readonly couplings: readonly Coupling[];
  /** The order in which the levels are eliminated. */
  readonly tree: FrontTree;
}

export function isCrossed(system: BlockSystem): system is CrossedSystem {
  return 'couplings' in system;
}
