import {
  inverseTransposed,
  type Rows,
  subtractRowProducts,
  subtractSymmetricProducts,
} from '../../../../numerics/index.ts';
import type { FrontFactor } from './front-factor.ts';
import type { Front } from './fronts.ts';

/** Columns of the inverse factor multiplied at a time. */
const STRIP = 96;

/**
 * Prepares the computation of the diagonal blocks of an inverse from its Cholesky factor. The function writes, for every
 * level, the block of its own effects (weight x weight at `blockAt[level]`) to `out`.
 *
 * From the last front to the first, the inverse on a front's border is known from the front above and gives that on its
 * pivots: with U = L^-T, Y = (border rows of L) L^-1 and Z the inverse, Z_border,pivot = -Z Y and
 * Z_pivot = U U' + Y' Z Y. A last front all of whose children have none themselves is not multiplied out: with
 * Z = U U' each child needs only the lengths of a few combinations of rows of U.
 * Source: Erisman and Tinney (1975), Communications of the ACM 18, 177-179 (the entries needed for the rest are those
 * of the factor's own pattern).
 */
export function selectedInverse(
  { tree, panels }: FrontFactor,
  weight: Int32Array,
  blockAt: Int32Array,
): (out: Float64Array) => void {
  const { fronts, position, frontOf } = tree;
  const levelsOf: number[][] = fronts.map(() => []);
  frontOf.forEach((f, v) => {
    levelsOf[f]!.push(v);
  });
  /** Fronts whose inverse others need, and how it is kept: the whole square, or U alone. */
  const keeps = fronts.map(({ pivots, border, children }) => {
    const lengths = children.reduce((sum, c) => sum + fronts[c]!.border.length * fronts[c]!.pivots, 0);
    const leaves = children.every((c) => fronts[c]!.children.length === 0);
    if (border.length === 0 && leaves && 3 * lengths < pivots * pivots) return 'factor';
    return children.length === 0 ? 'nothing' : 'square';
  });
  const widest = fronts.reduce((most, { pivots, border }) => Math.max(most, pivots + border.length), 0);
  const kept = fronts.map(({ pivots, border }, f) =>
    keeps[f] === 'factor'
      ? new Float64Array(pivots * pivots)
      : keeps[f] === 'square'
        ? new Float64Array((pivots + border.length) ** 2)
        : null,
  );
  const mostPivots = fronts.reduce(
    (most, { pivots }, f) => (keeps[f] === 'factor' ? most : Math.max(most, pivots)),
    0,
  );
  const mostBorder = fronts.reduce((most, { border }) => Math.max(most, border.length), 0);
  const ownU = new Float64Array(mostPivots ** 2);
  const own = new Float64Array(mostPivots ** 2);
  const above = new Float64Array(mostBorder ** 2);
  const minusY = new Float64Array(mostPivots * mostBorder);
  const carried = new Float64Array(mostPivots * Math.max(mostBorder, widest));

  /** own = U U', the lower triangle. */
  const square = (U: Float64Array, n: number): void => {
    own.fill(0, 0, n * n);
    for (let k = 0; k < n; k += STRIP) {
      const end = Math.min(n, k + STRIP);
      const rows: Rows = { of: U, at: k, stride: n };
      subtractSymmetricProducts({ of: own, at: 0, stride: n }, rows, rows, end, end - k);
    }
    for (let i = 0; i < n * n; i++) own[i] = -own[i]!;
  };

  /** own += Y' Z Y for a child of a front of which U is kept: the products of the rows of Y' U. */
  const addThroughFactor = ({ pivots, border, inParent, parent }: Front): void => {
    const U = kept[parent]!;
    const n = fronts[parent]!.pivots;
    const height = border.length;
    const from = inParent[0]!;
    for (let j = 0; j < pivots; j++) {
      const to = j * n;
      carried.fill(0, to, to + n);
      for (let i = 0; i < height; i++) {
        const y = minusY[j * height + i]!;
        const row = inParent[i]! * n;
        for (let c = inParent[i]!; c < n; c++) carried[to + c] = carried[to + c]! + y * U[row + c]!;
      }
      for (let k = 0; k <= j; k++) {
        let sum = 0;
        for (let c = from; c < n; c++) sum += carried[to + c]! * carried[k * n + c]!;
        own[j * pivots + k] = own[j * pivots + k]! + sum;
      }
    }
  };

  /** own += Y' Z Y, leaving Y' Z in `carried` and Z in `above`. */
  const addThroughSquare = ({ pivots, border, inParent, parent }: Front): void => {
    const Z = kept[parent]!;
    const stride = fronts[parent]!.pivots + fronts[parent]!.border.length;
    const height = border.length;
    for (let i = 0; i < height; i++) {
      const row = inParent[i]! * stride;
      for (let j = 0; j < height; j++) above[i * height + j] = Z[row + inParent[j]!]!;
    }
    const y: Rows = { of: minusY, at: 0, stride: height };
    const yz: Rows = { of: carried, at: 0, stride: height };
    carried.fill(0, 0, pivots * height);
    subtractRowProducts(yz, y, { of: above, at: 0, stride: height }, pivots, height, height);
    subtractSymmetricProducts({ of: own, at: 0, stride: pivots }, yz, y, pivots, height);
  };

  return (out) => {
    for (let f = fronts.length - 1; f >= 0; f--) {
      const front = fronts[f]!;
      const { first, pivots, border, panelAt, parent } = front;
      const height = border.length;
      const factorOnly = keeps[f] === 'factor';
      const U = factorOnly ? kept[f]! : ownU;
      inverseTransposed(panels, panelAt, pivots, U);
      if (factorOnly) {
        for (const v of levelsOf[f]!) {
          const q = weight[v]!;
          const start = position[v]! - first;
          for (let a = 0; a < q; a++)
            for (let b = 0; b <= a; b++) {
              let sum = 0;
              for (let k = start + a; k < pivots; k++)
                sum += U[(start + a) * pivots + k]! * U[(start + b) * pivots + k]!;
              out[blockAt[v]! + a * q + b] = sum;
              out[blockAt[v]! + b * q + a] = sum;
            }
        }
        continue;
      }
      square(U, pivots);
      if (height > 0) {
        minusY.fill(0, 0, pivots * height);
        subtractRowProducts(
          { of: minusY, at: 0, stride: height },
          { of: U, at: 0, stride: pivots },
          { of: panels, at: panelAt + pivots * pivots, stride: pivots },
          pivots,
          height,
          pivots,
        );
        if (keeps[parent] === 'factor') addThroughFactor(front);
        else addThroughSquare(front);
      }
      for (const v of levelsOf[f]!) {
        const q = weight[v]!;
        const start = position[v]! - first;
        for (let a = 0; a < q; a++)
          for (let b = 0; b <= a; b++) {
            const value = own[(start + a) * pivots + start + b]!;
            out[blockAt[v]! + a * q + b] = value;
            out[blockAt[v]! + b * q + a] = value;
          }
      }
      const Z = kept[f];
      if (!Z) continue;
      const stride = pivots + height;
      for (let i = 0; i < pivots; i++) {
        for (let j = 0; j <= i; j++) {
          Z[i * stride + j] = own[i * pivots + j]!;
          Z[j * stride + i] = own[i * pivots + j]!;
        }
        for (let j = 0; j < height; j++) {
          Z[i * stride + pivots + j] = -carried[i * height + j]!;
          Z[(pivots + j) * stride + i] = -carried[i * height + j]!;
        }
      }
      for (let i = 0; i < height; i++)
        for (let j = 0; j < height; j++) Z[(pivots + i) * stride + pivots + j] = above[i * height + j]!;
    }
  };
}
