import type { Fit, Model } from '../../../stats/index.ts';
import { attempt } from './cell-model.ts';
import { type Effect, effectOf, NO_EFFECT } from './effect.ts';

/** One value before and one after for each golfer. */
export interface BeforeAfter {
  readonly golfer: string;
  readonly arm: string;
  readonly before: number;
  readonly after: number;
}

export interface ConditionalFit {
  readonly fit: Fit;
  readonly model: Model;
  effect(arm: string): Effect;
}

/**
 * The baseline-constrained model for one value per golfer and phase, in its conditional form: the value after,
 * on the value before and the arm, by least squares with residual degrees of freedom (analysis of covariance;
 * Frison and Pocock 1992, Stat Med 11:1685-1704). `control` is the reference.
 */
export function fitConditional(
  golfers: readonly BeforeAfter[],
  control: string,
  drills: readonly string[],
  level: number,
): ConditionalFit | string {
  const model: Model = {
    outcome: 'after',
    distribution: 'normal',
    fixed: ['intercept', { column: 'before' }, { column: 'arm', levels: [control, ...drills] }],
    inference: { degreesOfFreedom: 'residual', level },
  };
  return solve(golfers, model, drills, level);
}

/** Golfers' changes compared between arms by least squares, spreads taken as equal (change-score analysis). */
export function fitChangeScores(
  golfers: readonly BeforeAfter[],
  control: string,
  drills: readonly string[],
  level: number,
): ConditionalFit | string {
  const model: Model = {
    outcome: 'change',
    distribution: 'normal',
    fixed: ['intercept', { column: 'arm', levels: [control, ...drills] }],
    inference: { degreesOfFreedom: 'residual', level },
  };
  return solve(golfers, model, drills, level);
}

function solve(
  golfers: readonly BeforeAfter[],
  model: Model,
  drills: readonly string[],
  level: number,
): ConditionalFit | string {
  const fit = attempt(model, {
    before: golfers.map((golfer) => golfer.before),
    after: golfers.map((golfer) => golfer.after),
    change: golfers.map((golfer) => golfer.after - golfer.before),
    arm: golfers.map((golfer) => golfer.arm),
  });
  if (typeof fit === 'string') return fit;
  return {
    fit,
    model,
    effect: (arm) =>
      drills.includes(arm) ? effectOf(fit.combine({ fixed: { [`arm=${arm}`]: 1 } }, level)) : NO_EFFECT,
  };
}
