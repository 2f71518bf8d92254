import { fitModel, type Model } from '../../../stats/index.ts';
import { columnsOfSwings } from './columns-of-swings.ts';
import { type Found, found } from './estimate.ts';
import { type Frame, meanErrorVariance } from './frame.ts';

/**
 * The slope inside golfers on the true predictor by the likelihood of predictor and outcome together, with golfers' own
 * levels (no own slopes or days: the joint model has room for one group). Null where no SD is stated, it cannot be fitted, or the
 * swings are not held: each has an SD of its own.
 */
export function jointCorrection(
  frame: Frame,
  predictor: string,
  outcome: string,
  level: number,
): { readonly slope: Found; readonly model: Model } | null {
  const mean = meanErrorVariance(frame, predictor);
  if (mean === null || frame.each === null) return null;
  const { swings, raw } = columnsOfSwings(frame.each, [predictor, outcome]);
  const model: Model = {
    outcome,
    fixed: ['intercept', { column: predictor, within: 'golfer' }, { column: predictor, between: 'golfer' }],
    random: [{ group: 'golfer', effects: ['intercept'] }],
    errorSd: { [predictor]: 'measurement SD' },
    inference: { degreesOfFreedom: 'satterthwaite', level },
  };
  const fitted = fitModel(model, {
    golfer: swings.map(({ golfer }) => golfer),
    [predictor]: raw[predictor]!,
    [outcome]: raw[outcome]!,
    'measurement SD': Float64Array.from(swings, ({ errors }) => errors[predictor] ?? Math.sqrt(mean)),
  });
  if (!fitted.ok || !fitted.fit.result.diagnosis.converged) return null;
  const slope = fitted.fit.result.fixed.find(({ term }) => term === `${predictor} within golfer`);
  if (slope === undefined) return null;
  return { slope: found(slope.estimate, slope.standardError, slope.degreesOfFreedom, level), model };
}
