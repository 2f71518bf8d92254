import { fitModel, type Model } from '../../../stats/index.ts';
import type { MechanismSwing } from '../input/swings.ts';
import { type Found, found } from './estimate.ts';
import { frameOf } from './frame.ts';

/** How the slope inside golfers changes with a turn of the body, per degree of it. */
export interface Moderation {
  readonly turn: string;
  /** Between golfers: with how far a golfer usually turns. */
  readonly usual: Found;
  /** Inside golfers: with how much further than usual the golfer turned in that swing. */
  readonly ofSwing: Found;
  readonly golfers: number;
  readonly swings: number;
  readonly model: Model;
}

/**
 * outcome ~ predictor inside golfers x (usual turn, turn of the swing), golfers' own levels and slopes, Kenward-Roger. Null
 * where the turn was not measured or nothing can be fitted.
 */
export function moderationBy(
  swings: readonly MechanismSwing[],
  {
    predictor,
    outcome,
    turn,
  }: { readonly predictor: string; readonly outcome: string; readonly turn: string },
  level: number,
): Moderation | null {
  const frame = frameOf(swings, [predictor, outcome, turn]);
  if (frame.golfers < 8) return null;
  const inside = frame.within[predictor]!;
  const [usual, own] = [frame.between[turn]!, frame.within[turn]!];
  const model: Model = {
    outcome,
    fixed: [
      'intercept',
      ...['inside', 'level', 'usual turn', 'turn', 'inside x usual turn', 'inside x turn'].map((column) => ({
        column,
      })),
    ],
    random: [
      { group: 'golfer', effects: ['intercept', 'inside'], covariance: 'diagonal' },
      ...(frame.sessions > frame.golfers
        ? [{ group: ['golfer', 'session'], effects: ['intercept' as const] }]
        : []),
    ],
    inference: { degreesOfFreedom: 'kenward-roger', level },
  };
  const fitted = fitModel(model, {
    golfer: frame.swings.map(({ golfer }) => golfer),
    session: frame.swings.map(({ session }) => session),
    [outcome]: frame.raw[outcome]!,
    inside,
    level: frame.between[predictor]!,
    'usual turn': usual,
    turn: own,
    'inside x usual turn': inside.map((value, i) => value * usual[i]!),
    'inside x turn': inside.map((value, i) => value * own[i]!),
  });
  if (!fitted.ok || !fitted.fit.result.diagnosis.converged) return null;
  const pick = (term: string): Found | null => {
    const one = fitted.fit.result.fixed.find((estimate) => estimate.term === term);
    return one === undefined ? null : found(one.estimate, one.standardError, one.degreesOfFreedom, level);
  };
  const [byUsual, byOwn] = [pick('inside x usual turn'), pick('inside x turn')];
  if (byUsual === null || byOwn === null) return null;
  return { turn, usual: byUsual, ofSwing: byOwn, golfers: frame.golfers, swings: frame.swings.length, model };
}
