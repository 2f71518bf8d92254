import type { Model } from '../contract.ts';

/** Whether a model asks for more than independent residuals of equal variance. */
export function hasResidualStructure({ residual }: Model): boolean {
  return (residual?.variance ?? 'constant') !== 'constant' || (residual?.correlation ?? 'none') !== 'none';
}
