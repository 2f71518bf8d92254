import { solveUpper } from '../../../numerics/index.ts';
import type { FittedGeneralised } from './fitted-generalised.ts';
import type { GeneralisedDesign } from './generalised-design.ts';

/**
 * Thresholds and coefficients as named, and the matrix that leads from the free parameters of the fit to them (rows:
 * thresholds, then coefficients). `logGaps` are the threshold parameters where those were fitted.
 */
export function namedParameters(
  { upper, means, thresholdNames, fixedNames }: GeneralisedDesign,
  at: Float64Array,
  covariance: Float64Array,
  size: number,
  logGaps: Float64Array | null,
): Pick<FittedGeneralised, 'coefficients' | 'thresholds' | 'toNamed' | 'covariance' | 'free'> {
  const cuts = thresholdNames.length;
  const p = fixedNames.length;
  const coefficients = at.slice(cuts);
  solveUpper(upper, p, coefficients);
  const toNamed = new Float64Array((cuts + p) * size);
  for (let k = 0; k < p; k++) {
    const column = new Float64Array(p);
    column[k] = 1;
    solveUpper(upper, p, column);
    for (let j = 0; j < p; j++) toNamed[(cuts + j) * size + cuts + k] = column[j]!;
  }
  const shift = new Float64Array(size);
  let moved = 0;
  for (let j = 0; j < p; j++) {
    moved += means[j]! * coefficients[j]!;
    for (let k = 0; k < size; k++) shift[k] = shift[k]! + means[j]! * toNamed[(cuts + j) * size + k]!;
  }
  const thresholds = at.slice(0, cuts).map((value) => value + moved);
  for (let t = 0; t < cuts; t++) {
    for (let k = 0; k < size; k++) toNamed[t * size + k] = shift[k]!;
    for (let k = 0; k <= t; k++) {
      const slope = logGaps ? (k === 0 ? 1 : Math.exp(logGaps[k]!)) : k === t ? 1 : 0;
      toNamed[t * size + k] = toNamed[t * size + k]! + slope;
    }
  }
  return { coefficients, thresholds, toNamed, covariance, free: size };
}
