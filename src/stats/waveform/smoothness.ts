import type { TField } from './t-field.ts';

/** How smooth the residuals of curves are. */
export interface Smoothness {
  /**
   * Length of the curve that the normalised residuals draw: the integral of the SD of the slope of a field of unit
   * variance. Fields need not be equally smooth throughout.
   */
  readonly length: number;
  /** Full width at half maximum of the Gaussian kernel that makes white noise this smooth, in nodes; infinite for constants. */
  readonly fwhmNodes: number;
  /** Widths of that kernel that the curve is long: resolution elements. */
  readonly resels: number;
}

const WIDTH_OF_UNIT_SLOPE = Math.sqrt(4 * Math.LN2);

/**
 * Smoothness from the gradients of residuals that are normalised at each node to length one over the rows, e_q: the sum of
 * |e_(q+1) - e_q| (Kiebel, Poline, Friston, Holmes and Worsley 1999, NeuroImage 10:756, for normalised residuals; Taylor
 * and Worsley 2007, J Am Stat Assoc 102:913, for lengths along the edges of the grid). For a Gaussian field it is unbiased
 * whatever the degrees of freedom v: |e'| is distributed as SD(slope) chi_(v-1) / chi_v with independent chi, whose mean is
 * SD(slope). FWHM = (nodes - 1) sqrt(4 ln 2) / length. A field rougher than about three nodes wide looks smoother than it is,
 * because the chord between two nodes cuts the corner.
 *
 * @param field residuals of `tField`, rows x nodes, row by row
 * @example
 * // Two rows that turn by a right angle from node to node: two chords of sqrt(2).
 * smoothness({ residuals: Float64Array.of(1, 0, -1, 0, 1, 0) }, 2) // { length: 2.8284, resels: 1.6986, fwhmNodes: 1.1774 }
 */
export function smoothness(field: Pick<TField, 'residuals'>, rows: number): Smoothness {
  const { residuals } = field;
  const nodes = residuals.length / rows;
  const norms = new Float64Array(nodes);
  for (let j = 0, i = 0; j < rows; j++)
    for (let q = 0; q < nodes; q++, i++) norms[q]! += residuals[i]! * residuals[i]!;
  for (let q = 0; q < nodes; q++) norms[q] = Math.sqrt(norms[q]!);
  let length = 0;
  for (let q = 1; q < nodes; q++) {
    const [before, here] = [norms[q - 1]!, norms[q]!];
    // Where nothing varies there is no slope to speak of.
    if (!(before > 0 && here > 0)) continue;
    let squared = 0;
    for (let j = 0; j < rows; j++) {
      const step = residuals[j * nodes + q]! / here - residuals[j * nodes + q - 1]! / before;
      squared += step * step;
    }
    length += Math.sqrt(squared);
  }
  const resels = length / WIDTH_OF_UNIT_SLOPE;
  return { length, resels, fwhmNodes: (nodes - 1) / resels };
}
