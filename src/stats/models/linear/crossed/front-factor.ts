import { factorPanel, type Rows, subtractSymmetricProducts } from '../../../../numerics/index.ts';
import type { Front, FrontTree } from './fronts.ts';

/** The Cholesky factor of a sparse symmetric matrix, front by front. */
export interface FrontFactor {
  readonly tree: FrontTree;
  /** The fronts' columns: the lower triangle of the matrix before `factor`, its factor L afterwards. */
  readonly panels: Float64Array;
  /** Makes everything zero, ready to be filled. */
  clear(): void;
  /** Factors what stands in `panels`: log determinant, or NaN where the matrix is not positive definite. */
  factor(): number;
  /** Overwrites X (effects x columns, row-major) by L^-1 X. */
  forward(x: Float64Array, columns: number): void;
  /** Overwrites X by L^-T X. */
  backward(x: Float64Array, columns: number): void;
}

/**
 * Multifrontal Cholesky factorisation: every front is factored densely and takes its share out of the front above
 * it.
 * Source: Duff and Reid (1983), ACM Transactions on Mathematical Software 9, 302-325; Liu (1992), SIAM Review
 * 34, 82-109.
 */
export function frontFactor(tree: FrontTree): FrontFactor {
  const { fronts } = tree;
  const panels = new Float64Array(tree.panelLength);
  /** What a front's children (and then its own pivots) take out of its border. */
  const updates = fronts.map(({ children, border }) =>
    children.length > 0 ? new Float64Array(border.length ** 2) : null,
  );

  /** Adds to (row, column) of the front above; both are places among its rows. */
  const addAbove = (front: Front, give: (i: number, j: number) => number): void => {
    const { inParent } = front;
    const parent = fronts[front.parent]!;
    const update = updates[front.parent]!;
    const { pivots, panelAt } = parent;
    const width = parent.border.length;
    for (let i = 0; i < inParent.length; i++) {
      const row = inParent[i]!;
      const inPanel = panelAt + row * pivots;
      const inUpdate = (row - pivots) * width - pivots;
      for (let j = 0; j <= i; j++) {
        const column = inParent[j]!;
        const value = give(i, j);
        if (column < pivots) panels[inPanel + column] = panels[inPanel + column]! + value;
        else update[inUpdate + column] = update[inUpdate + column]! + value;
      }
    }
  };

  const factor = (): number => {
    let logDeterminant = 0;
    for (let f = 0; f < fronts.length; f++) {
      const front = fronts[f]!;
      const { pivots, border, panelAt } = front;
      const height = border.length;
      if (!factorPanel(panels, panelAt, pivots + height, pivots)) return Number.NaN;
      for (let k = 0; k < pivots; k++) logDeterminant += Math.log(panels[panelAt + k * pivots + k]!);
      if (height === 0) continue;
      const below = panelAt + pivots * pivots;
      const update = updates[f];
      if (update) {
        const rows: Rows = { of: panels, at: below, stride: pivots };
        subtractSymmetricProducts({ of: update, at: 0, stride: height }, rows, rows, height, pivots);
        addAbove(front, (i, j) => update[i * height + j]!);
      } else
        addAbove(front, (i, j) => {
          let sum = 0;
          for (let k = 0; k < pivots; k++)
            sum -= panels[below + i * pivots + k]! * panels[below + j * pivots + k]!;
          return sum;
        });
    }
    return 2 * logDeterminant;
  };

  return {
    tree,
    panels,
    clear() {
      panels.fill(0);
      for (const update of updates) update?.fill(0);
    },
    factor,
    forward(x, columns) {
      for (const { first, pivots, border, panelAt } of fronts) {
        for (let i = 0; i < pivots; i++) {
          const row = panelAt + i * pivots;
          const to = (first + i) * columns;
          for (let k = 0; k < i; k++) subtractRow(x, to, panels[row + k]!, (first + k) * columns, columns);
          const scale = 1 / panels[row + i]!;
          for (let c = 0; c < columns; c++) x[to + c] = x[to + c]! * scale;
        }
        for (let i = 0; i < border.length; i++) {
          const row = panelAt + (pivots + i) * pivots;
          const to = border[i]! * columns;
          for (let k = 0; k < pivots; k++)
            subtractRow(x, to, panels[row + k]!, (first + k) * columns, columns);
        }
      }
    },
    backward(x, columns) {
      for (let f = fronts.length - 1; f >= 0; f--) {
        const { first, pivots, border, panelAt } = fronts[f]!;
        for (let i = 0; i < border.length; i++) {
          const row = panelAt + (pivots + i) * pivots;
          const from = border[i]! * columns;
          for (let k = 0; k < pivots; k++)
            subtractRow(x, (first + k) * columns, panels[row + k]!, from, columns);
        }
        for (let i = pivots - 1; i >= 0; i--) {
          const row = panelAt + i * pivots;
          const from = (first + i) * columns;
          const scale = 1 / panels[row + i]!;
          for (let c = 0; c < columns; c++) x[from + c] = x[from + c]! * scale;
          for (let k = 0; k < i; k++) subtractRow(x, (first + k) * columns, panels[row + k]!, from, columns);
        }
      }
    },
  };
}

/** x[to ...] -= factor x[from ...]. */
function subtractRow(x: Float64Array, to: number, factor: number, from: number, columns: number): void {
  for (let c = 0; c < columns; c++) x[to + c] = x[to + c]! - factor * x[from + c]!;
}
