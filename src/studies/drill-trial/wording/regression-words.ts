import type { Check } from '../../finding.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';
import { amount, figureIn, percent } from '../../shared/words.ts';
import type { Regression } from '../analysis/regression.ts';
import type { Design } from '../input/design.ts';

/** Regression to the mean as a check; nothing when it could not be sized (that is said elsewhere). */
export function regressionCheck(
  regression: Regression | string,
  design: Design,
  metric: StudyMetric,
): Check[] {
  if (typeof regression === 'string') return [];
  const decimals = metric.decimals + 1;
  const parts = regression.arms.map(
    ({ arm, baselineMean, expectedShift }) =>
      `'${arm}' started at ${figureIn(baselineMean, metric.unit, decimals)} against ${amount(regression.rosterMean, metric.unit, decimals)} in ${regression.rosterIsLarger ? 'the roster' : 'all golfers of the trial'} and would be expected to move by up to ${figureIn(expectedShift, metric.unit, decimals)} by itself`,
  );
  const largest = Math.max(0, ...regression.arms.map((arm) => Math.abs(arm.expectedShift)));
  const controlled = design.control !== null;
  const picked = `Golfers picked for lying in the lowest third would come back by ${amount(Math.abs(regression.lowestThirdShift), metric.unit, decimals)} without any drill (Barnett and others 2005)`;
  return [
    {
      name: 'regression to the mean',
      outcome: controlled ? 'good' : 'look',
      words: `${percent(regression.reliability)} of the spread of baseline means is true difference between golfers. ${parts
        .map((part) => `${part}; `)
        .join('')
        .replace(/; $/, '. ')}${picked}. ${
        controlled
          ? 'The comparison with the control, adjusted for the start, takes this out; a plain before-and-after change does not.'
          : largest > 0
            ? 'Nothing takes this out of a change without a control.'
            : 'Without golfers outside the group it cannot be seen whether these were picked for poor values; if they were, that much of the change is not the drill.'
      }`,
    },
  ];
}
