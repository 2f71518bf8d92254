import type { MechanismChoice } from '../input/choice.ts';
import { swingsUnder } from '../input/rules.ts';
import type { Swings } from '../input/summed-swings.ts';
import type { Found } from './estimate.ts';
import { type Frame, frameOf, golferMeans, productsOf } from './frame.ts';
import { withHeld } from './held.ts';
import { pooledSlope } from './pooled-slope.ts';
import { LEAST_RELIABILITY, type Reliability, reliabilityOf } from './reliability.ts';

/** The slope of the outcome on the predictor, per unit, asked for in one way. */
export interface Slope {
  readonly choice: MechanismChoice;
  readonly frame: Frame;
  /** As the swings have it. */
  readonly uncorrected: Found;
  /** On the true values; null where no measurement SD is stated or too little of the spread is true. */
  readonly corrected: Found | null;
  /** The one that answers. */
  readonly within: Found;
  readonly reliability: Reliability | null;
}

/** Why a slope cannot be had. */
export interface NoSlope {
  readonly why: 'too-few-golfers' | 'no-variation' | 'no-variation-outcome' | 'not-estimable';
  readonly golfers: number;
  readonly swings: number;
}

/** The fewest golfers with at least three swings each; with fewer, one golfer would carry the answer. */
export const LEAST_GOLFERS = 5;
export const LEAST_SWINGS = 3;

/** The slope under one choice. */
export function slopeUnder(swings: Swings, choice: MechanismChoice, level: number): Slope | NoSlope {
  const { predictor, outcome } = choice;
  const counted = withHeld(choice.held, swingsUnder(choice.rule, swings, [predictor, outcome]));
  const frame = frameOf(counted, [predictor, outcome], choice.within, choice.held);
  const enough = golfersWith(frame, LEAST_SWINGS);
  const none = (why: NoSlope['why']): NoSlope => ({ why, golfers: enough, swings: frame.size });
  if (enough < LEAST_GOLFERS) return none('too-few-golfers');
  if (!varies(frame, predictor)) return none('no-variation');
  if (!varies(frame, outcome)) return none('no-variation-outcome');
  const asked = { level };
  const uncorrected = pooledSlope(frame, predictor, outcome, { ...asked, corrected: false });
  if (uncorrected === null || uncorrected.interval === null) return none('not-estimable');
  const reliability = reliabilityOf(frame, predictor);
  const corrected =
    reliability === null || reliability.share < LEAST_RELIABILITY
      ? null
      : pooledSlope(frame, predictor, outcome, { ...asked, corrected: true });
  return {
    choice,
    frame,
    uncorrected,
    corrected,
    within: choice.corrected && corrected !== null ? corrected : uncorrected,
    reliability,
  };
}

/** Whether an answer is a slope. */
export function isSlope(answer: Slope | NoSlope): answer is Slope {
  return 'within' in answer;
}

function golfersWith(frame: Frame, least: number): number {
  return golferMeans(frame, []).counts.filter((count) => count >= least).length;
}

/** Whether a column varies inside golfers by more than rounding of its size. */
function varies(frame: Frame, column: string): boolean {
  const { products } = productsOf(frame, [column]);
  const at = frame.columns.indexOf(column);
  let [squares, size] = [0, 0];
  for (const square of products) squares += square;
  for (const mean of frame.cells.means[at]!) size = Math.max(size, Math.abs(mean));
  return squares > 0 && Math.sqrt(squares / frame.size) > 1e-10 * size;
}
