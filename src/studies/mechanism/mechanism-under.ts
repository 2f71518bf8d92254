import type { Dataset, Plan } from '../../dataset/index.ts';
import type { Verdict } from '../finding.ts';
import { verdictOf } from '../shared/standing.ts';
import { metricsPresent, studyMetric } from '../shared/study-metric.ts';
import { type Found, times } from './analysis/estimate.ts';
import { type Frame, productsOf } from './analysis/frame.ts';
import { isSlope, slopeUnder } from './analysis/slope.ts';
import { smallestSlope } from './analysis/smallest-slope.ts';
import type { MechanismChoice } from './input/choice.ts';
import { MEDIATORS, PREDICTORS, perStep, slopeUnit } from './input/columns.ts';
import type { Swings } from './input/summed-swings.ts';
import { extractSwings } from './input/swings.ts';

/** The answer under one choice; estimates null, with the reason, where there is none. */
export interface MechanismAnswer {
  readonly choice: MechanismChoice;
  /** Change of the outcome with a step (10 units) towards earlier straightening. */
  readonly perStep: Found | null;
  readonly unit: string;
  /**
   * The same for one SD of the predictor inside golfers towards earlier straightening, in the outcome's unit: the scale on
   * which predictors in degrees and in milliseconds can be laid beside each other.
   */
  readonly perSd: Found | null;
  /** The smallest difference with a step that matters, which the verdict is set against; null where nothing tells. */
  readonly smallest: number | null;
  readonly verdict: Verdict;
  readonly golfers: number;
  readonly swings: number;
  readonly why: string | null;
}

const WHY = {
  'too-few-golfers': 'too few golfers with three swings each',
  'no-variation': 'the predictor does not vary inside golfers',
  'no-variation-outcome': 'the outcome does not vary inside golfers',
  'not-estimable': 'no model could be fitted',
} as const;

/** The answer from swings that were read already. */
export function answerUnder(
  swings: Swings,
  choice: MechanismChoice,
  level = 0.95,
  planned: Plan['smallestChangeThatMatters'] | null = null,
): MechanismAnswer {
  const { predictor, outcome } = choice;
  const unit = slopeUnit(outcome, predictor);
  const slope = slopeUnder(swings, choice, level);
  if (!isSlope(slope)) {
    const { golfers, why } = slope;
    return {
      choice,
      perStep: null,
      unit,
      perSd: null,
      smallest: null,
      verdict: 'cannot-tell',
      golfers,
      swings: slope.swings,
      why: WHY[why],
    };
  }
  const factor = perStep(predictor);
  const answer = times(slope.within, factor);
  const smallest = smallestSlope(slope.frame, predictor, studyMetric(outcome), planned);
  return {
    choice,
    perStep: answer,
    unit,
    perSd: times(slope.within, Math.sign(factor) * sdInside(slope.frame, predictor)),
    smallest: smallest?.value ?? null,
    verdict: smallest === null ? 'cannot-tell' : verdictOf(answer.interval, smallest),
    golfers: slope.frame.golfers,
    swings: slope.frame.size,
    why: null,
  };
}

function sdInside(frame: Frame, column: string): number {
  let squares = 0;
  for (const square of productsOf(frame, [column]).products) squares += square;
  return Math.sqrt(squares / Math.max(1, frame.size - frame.golfers));
}

/**
 * The slope of the outcome on elbow straightening inside golfers under any choice of definition, swings and what is held:
 * one point of a specification curve. Pure; the plan's exclusions apply.
 *
 * @example mechanismUnder(dataset, defaultChoice(dataset)).unit // 'deg per 10 deg'
 */
export function mechanismUnder(
  dataset: Dataset,
  choice: MechanismChoice,
  plan: Plan | null = null,
): MechanismAnswer {
  const columns = [choice.predictor, choice.outcome, ...(choice.mediator === null ? [] : [choice.mediator])];
  const { full } = extractSwings(dataset, plan, columns);
  return answerUnder(full, choice, plan?.level ?? 0.95, plan?.smallestChangeThatMatters ?? null);
}

/**
 * The question as it is asked where nothing is chosen: the first column of each kind that was measured.
 * @example defaultChoice(dataset) // { outcome: 'shaft_lean_impact_deg', within: 'golfer', rule: 'all', held: [], corrected: true, ... }
 */
export function defaultChoice(dataset: Dataset): MechanismChoice {
  const present = new Set(metricsPresent(dataset));
  return {
    predictor: PREDICTORS.find((column) => present.has(column)) ?? PREDICTORS[0],
    mediator: MEDIATORS.find((column) => present.has(column)) ?? null,
    outcome: 'shaft_lean_impact_deg',
    within: 'golfer',
    rule: 'all',
    held: [],
    corrected: true,
  };
}
