import type { GolferChange } from '../../drill-trial-tables.ts';
import type { FindingEstimate } from '../../finding.ts';
import { amount, listSome, percent } from '../../shared/words.ts';
import { NO_EFFECT } from '../analysis/effect.ts';
import type { FollowUps } from '../analysis/follow-ups.ts';
import type { IndividualResponses } from '../analysis/individual.ts';
import type { Regression } from '../analysis/regression.ts';
import { estimate, type Setting } from './estimate.ts';

/** Do golfers differ in their response. */
export function responseEstimate(
  setting: Setting,
  arm: string,
  responses: IndividualResponses,
): FindingEstimate {
  const { metric, design } = setting;
  const { spread, sdDrill, sdControl, noiseTaken } = responses;
  const show = (value: number) => amount(value, metric.unit, metric.decimals);
  const [low, high] = spread.interval;
  const reading =
    low > 0
      ? 'Golfers respond differently to the drill.'
      : high < 0
        ? 'Changes vary less with the drill than without it.'
        : 'Whether golfers respond differently cannot be told.';
  return estimate(
    setting,
    'individual-responses',
    `SD of true individual responses${design.drills.length < 2 ? '' : ` to '${arm}'`}`,
    { value: spread.sd, interval: spread.interval, standardError: null, degreesOfFreedom: null },
    `${reading} Golfers' changes have an SD of ${show(sdDrill)} with the drill and ${show(sdControl)} without; this is what the first has beyond the second${noiseTaken ? ", the noise of each golfer's two means taken out of both" : ', noise being taken as alike in both'}. Below zero means that changes varied more without the drill.`,
  );
}

/** For whom: the golfers' own chances of a change that matters, added up. */
export function shareOfGolfers({ design, metric, level }: Setting, more: FollowUps): FindingEstimate[] {
  const { smallest } = more;
  const known = (role: 'drill' | 'control') =>
    more.golfers.filter((golfer) => golfer.chanceMeaningful !== null && golfer.role === role);
  const done =
    design.kind === 'crossover' ? more.golfers.filter((g) => g.chanceMeaningful !== null) : known('drill');
  if (smallest === null || done.length === 0) return [];
  const mean = (golfers: readonly GolferChange[]) =>
    golfers.reduce((sum, golfer) => sum + golfer.chanceMeaningful!, 0) / golfers.length;
  const idle = design.kind === 'parallel' ? known('control') : [];
  const named = (golfers: readonly GolferChange[]) =>
    golfers.length === 0 ? 'none' : listSome(golfers.map((golfer) => golfer.golfer));
  const way = smallest.goodDirection === 0 ? 'in either direction' : 'in the good direction';
  const what = design.kind === 'crossover' ? 'a difference between drill and control' : 'a change';
  const size = amount(smallest.value, metric.unit, metric.decimals);
  return [
    {
      key: 'share-of-golfers',
      name: `golfers with ${what} that matters from before to after, practice included`,
      value: 100 * mean(done),
      interval: [null, null],
      level,
      unit: '%',
      degreesOfFreedom: null,
      meaning: `About ${percent(mean(done))} of the ${done.length} golfers who did the drill have ${what} of at least ${size} ${way}${
        idle.length === 0 ? '' : `; without it ${percent(mean(idle))} of ${idle.length} do`
      }. Chance above 90%: ${named(done.filter((golfer) => golfer.chanceMeaningful! > 0.9))}. Chance below 10%: ${named(
        done.filter((golfer) => golfer.chanceMeaningful! < 0.1),
      )}.`,
    },
  ];
}

/** What each arm would be expected to do by itself. */
export function regressionEstimates(setting: Setting, regression: Regression): FindingEstimate[] {
  const { metric, design } = setting;
  return regression.arms.map(({ arm, baselineMean, expectedShift }) => {
    const off = baselineMean - regression.rosterMean;
    const decimals = metric.decimals + 1;
    const roster = regression.rosterIsLarger ? 'the roster' : 'all golfers of the trial';
    return estimate(
      setting,
      arm === design.control ? 'regression-control' : 'regression-drill',
      `expected regression to the mean in '${arm}'`,
      { ...NO_EFFECT, value: expectedShift },
      `'${arm}' started ${amount(Math.abs(off), metric.unit, decimals)} ${off >= 0 ? 'above' : 'below'} ${roster} (${regression.rosterGolfers} golfers); ${percent(1 - regression.reliability)} of the spread at baseline is noise, so up to ${amount(expectedShift, metric.unit, decimals)} of a change comes by itself.`,
    );
  });
}
