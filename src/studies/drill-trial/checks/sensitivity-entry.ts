import type { FindingEstimate, Sensitivity, SmallestChange } from '../../finding.ts';
import { verdictOf } from '../../shared/standing.ts';
import { amount, decimalsToShow, figureIn, percent } from '../../shared/words.ts';
import { type Effect, NO_EFFECT } from '../analysis/effect.ts';
import { analyseMain, type MainRequest } from '../analysis/main-analysis.ts';
import type { SwingGroup } from '../input/trial-data.ts';

export interface SensitivityRequest {
  readonly rows: readonly SwingGroup[];
  readonly main: MainRequest;
  readonly arm: string;
  readonly effect: Effect;
  readonly smallest: SmallestChange | null;
  readonly unit: string;
  readonly decimals: number;
}

/** One sensitivity analysis with its estimate, verdict and words. */
export function entry(
  request: SensitivityRequest,
  name: string,
  what: string,
  effect: Effect,
  say: (decimals: number) => string,
): Sensitivity {
  const verdict = verdictUnder(request, effect);
  const decimals = decimalsToShow(effect.interval, null, request.decimals);
  const size =
    effect.value === null
      ? 'It could not be estimated this way.'
      : `It gives ${amount(effect.value, request.unit, decimals)}${
          effect.interval === null
            ? ''
            : ` (${percent(request.main.level, 1)} interval ${figureIn(effect.interval[0], request.unit, decimals)} to ${figureIn(effect.interval[1], request.unit, decimals)})`
        }.`;
  return {
    name,
    what,
    estimate: effect.value === null ? null : estimateOf(request, name, effect, what),
    verdict,
    words: `${size} ${sameOrNot(verdict, verdictUnder(request, request.effect))} ${say(decimals)}`,
  };
}

/** The effect as an estimate of the finding. */
export function estimateOf(
  request: SensitivityRequest,
  name: string,
  effect: Effect,
  meaning: string,
): FindingEstimate {
  return {
    name,
    value: effect.value,
    interval: effect.interval ?? [null, null],
    level: request.main.level,
    unit: request.unit,
    degreesOfFreedom: effect.degreesOfFreedom,
    meaning,
  };
}

/** Whether the verdict survives, in a sentence. */
export function sameOrNot(verdict: string, main: string): string {
  return verdict === main ? 'The verdict is the same.' : `The verdict would be '${verdict}'.`;
}

/** The verdict on an effect against the smallest change of the request. */
export function verdictUnder(request: SensitivityRequest, effect: Effect) {
  return request.smallest === null ? 'cannot-tell' : verdictOf(effect.interval, request.smallest);
}

/** The main analysis again, on other rows. */
export function effectUnder(request: SensitivityRequest, rows: readonly SwingGroup[]): Effect {
  return analyseMain(rows, request.main).effects.get(request.arm) ?? NO_EFFECT;
}
