import { normalDensity, normalUpper } from '../../numerics/index.ts';

/**
 * How units were chosen for an extreme value: spread between and within units, and the cut-off, all in one unit of
 * measure.
 */
export interface SelectionBeyond {
  /** SD of true values between units, and SD of one measurement within a unit, in the same unit of measure. */
  readonly betweenSd: number;
  readonly withinSd: number;
  readonly mean: number;
  readonly cutoff: number;
  /** Units are chosen for lying above the cut-off, or below it. Default 'above'. */
  readonly side?: 'above' | 'below';
  /** How many independent measurements the selecting value averages. Default 1. */
  readonly measurements?: number;
}

/**
 * How far the mean of units chosen for an extreme first value is expected to move back when they are measured
 * again and nothing was done to them. Signed: negative after selection above, positive after selection below.
 *
 * size = (sw^2/m) / sqrt(sb^2 + sw^2/m) x phi(z) / (1 - Phi(z)), z = (cutoff - mean) / sqrt(sb^2 + sw^2/m).
 * Source: Barnett, van der Pols and Dobson 2005, Int J Epidemiol 34:215-220.
 *
 * @throws Error when the SDs give no spread at all, or `measurements` is below 1
 * @example expectedShiftAfterSelection({ betweenSd: 12, withinSd: 5, mean: 90, cutoff: 103 }) // -2.933
 */
export function expectedShiftAfterSelection(selection: SelectionBeyond): number {
  const { betweenSd, withinSd, mean, cutoff, side = 'above', measurements = 1 } = selection;
  if (!(measurements >= 1))
    throw new Error(`expectedShiftAfterSelection: measurements must be 1 or more, got ${measurements}.`);
  const noise = withinSd ** 2 / measurements;
  const spread = Math.sqrt(betweenSd ** 2 + noise);
  if (!(spread > 0))
    throw new Error('expectedShiftAfterSelection: needs a spread above 0; without spread nothing regresses.');
  const sign = side === 'above' ? -1 : 1;
  const z = (-sign * (cutoff - mean)) / spread;
  return sign * (noise / spread) * hazard(z);
}

/** phi(z) / (1 - Phi(z)); by its series far out, where both underflow (Abramowitz and Stegun 1964, 26.2.12). */
function hazard(z: number): number {
  return z < 30 ? normalDensity(z) / normalUpper(z) : z + 1 / z - 2 / z ** 3;
}

/**
 * Reliability of a mean: the share of its variance that is true difference between units,
 * sb^2 / (sb^2 + noise), 0..1. Null when there is no variance at all.
 *
 * @param noiseVariance of that mean: sw^2 / m for a mean of m measurements
 * @example reliability(4, 2 / 2) // 0.8: 4 between units, 2 within them, two measurements
 */
export function reliability(betweenVariance: number, noiseVariance: number): number | null {
  const total = betweenVariance + noiseVariance;
  return total > 0 ? betweenVariance / total : null;
}

/**
 * Expected shift of a group whose first mean lies off the mean of the population it came from:
 * (1 - reliability) x (population mean - group mean). It is exact when the group was chosen by that first value,
 * and an upper limit (in size) when it was chosen otherwise.
 *
 * @example expectedShiftOfGroup(10, 8, 0.75) // -0.5: a group 2 above its roster is expected to fall back by 0.5
 */
export function expectedShiftOfGroup(
  groupMean: number,
  populationMean: number,
  reliabilityOfMean: number,
): number {
  return (1 - reliabilityOfMean) * (populationMean - groupMean);
}
