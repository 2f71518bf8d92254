import type { CrossedSystem } from './crossed-system.ts';

/** What solving a crossed system takes, counted in multiplications and in bytes. */
export interface Cost {
  /** One evaluation of the deviance with its gradient. */
  readonly evaluation: number;
  /** The exact second derivatives at one point. */
  readonly curvature: number;
  readonly bytes: number;
  /** Effects of the largest front. */
  readonly largest: number;
}

export function costOf(system: CrossedSystem): Cost {
  const { tree } = system;
  let largest = 0;
  let factor = 0;
  let entries = 0;
  let doubles = 0;
  for (const { pivots, border, children } of tree.fronts) {
    const rows = pivots + border.length;
    largest = Math.max(largest, rows);
    factor += pivots ** 3 / 6 + (pivots * pivots * border.length) / 2 + (pivots * border.length ** 2) / 2;
    entries += pivots * rows - (pivots * (pivots - 1)) / 2;
    doubles += pivots * rows + (children.length > 0 ? border.length ** 2 + rows ** 2 : 0);
  }
  let products = 0;
  for (const { values } of system.couplings) products += 2 * values.length;
  for (const { nodes, effects } of system.stages) products += nodes * effects * effects;
  return {
    evaluation: 3 * factor + 4 * entries * system.trailing,
    curvature: tree.effects * 2 * (entries + products),
    bytes: 8 * (doubles + products),
    largest,
  };
}
