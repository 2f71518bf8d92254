import type { DegreesOfFreedomMethod } from '../../contract.ts';
import type { Optimum } from '../optimum.ts';
import type { ProfiledDeviance } from '../profiled-deviance.ts';

/**
 * The method of degrees of freedom a fit can have: the one wanted, with the exact second derivatives it needs in the
 * optimum's evaluation, or, where these would keep the user waiting, the normal distribution, and a note
 * that says so.
 */
export function affordableMethod(
  wanted: DegreesOfFreedomMethod,
  deviance: ProfiledDeviance,
  optimum: Optimum,
): { method: DegreesOfFreedomMethod; note: string | null } {
  const needed = wanted === 'kenward-roger' || wanted === 'satterthwaite';
  if (!needed || optimum.theta.length === 0) return { method: wanted, note: null };
  if (optimum.evaluation.eliminated.curvatureKnown) return { method: wanted, note: null };
  if (deviance.evaluate(optimum.theta, true).eliminated.curvatureKnown) return { method: wanted, note: null };
  const name = wanted === 'kenward-roger' ? 'Kenward and Roger' : 'Satterthwaite';
  return {
    method: 'normal',
    note: `With so many effects in crossed groups the degrees of freedom of ${name} would take very long, so the normal distribution is used; where every group has many levels the two hardly differ.`,
  };
}
