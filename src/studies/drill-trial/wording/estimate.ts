import type { FindingEstimate } from '../../finding.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';
import { decimalsToShow, difference, intervalOfDifference } from '../../shared/words.ts';
import type { Effect } from '../analysis/effect.ts';
import type { Design } from '../input/design.ts';

export interface Setting {
  readonly design: Design;
  readonly metric: StudyMetric;
  readonly level: number;
}

/** An effect as an estimate of the finding, in the unit of the metric unless said. */
export function estimate(
  { metric, level }: Setting,
  key: string,
  name: string,
  effect: Effect,
  meaning: string,
  unit: string = metric.unit,
): FindingEstimate {
  return {
    key,
    name,
    value: effect.value,
    interval: effect.interval ?? [null, null],
    level,
    unit,
    degreesOfFreedom: effect.degreesOfFreedom,
    meaning,
  };
}

/** `2.1 deg higher (95% interval 1.2 to 3.0 deg higher)`. */
export function inWords({ metric, level }: Setting, effect: Effect): string {
  if (effect.value === null) return 'not known how much different';
  const decimals = decimalsToShow(effect.interval, null, metric.decimals);
  const shown = { column: metric.column, unit: metric.unit, decimals, level };
  const range = effect.interval === null ? '' : ` (${intervalOfDifference(effect.interval, shown)})`;
  return `${difference(effect.value, shown)}${range}`;
}
