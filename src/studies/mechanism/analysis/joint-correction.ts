import { fitModel, type Model } from '../../../stats/index.ts';
import { type Found, found } from './estimate.ts';
import type { Frame } from './frame.ts';

/**
 * The slope inside golfers on the true predictor by the likelihood of predictor and outcome together, with golfers' own
 * levels (no own slopes or days: the joint model has room for one group). Null where no SD is stated or it cannot be fitted.
 */
export function jointCorrection(
  frame: Frame,
  predictor: string,
  outcome: string,
  level: number,
): { readonly slope: Found; readonly model: Model } | null {
  const variance = frame.errorVariance[predictor];
  if (variance == null) return null;
  const model: Model = {
    outcome,
    fixed: ['intercept', { column: predictor, within: 'golfer' }, { column: predictor, between: 'golfer' }],
    random: [{ group: 'golfer', effects: ['intercept'] }],
    errorSd: { [predictor]: 'measurement SD' },
    inference: { degreesOfFreedom: 'satterthwaite', level },
  };
  const fitted = fitModel(model, {
    golfer: frame.swings.map(({ golfer }) => golfer),
    [predictor]: frame.raw[predictor]!,
    [outcome]: frame.raw[outcome]!,
    'measurement SD': variance.map(Math.sqrt),
  });
  if (!fitted.ok || !fitted.fit.result.diagnosis.converged) return null;
  const slope = fitted.fit.result.fixed.find(({ term }) => term === `${predictor} within golfer`);
  if (slope === undefined) return null;
  return { slope: found(slope.estimate, slope.standardError, slope.degreesOfFreedom, level), model };
}
