import type { FindingEstimate } from '../../finding.ts';
import { directionWords } from '../../shared/words.ts';
import { type Effect, NO_EFFECT } from '../analysis/effect.ts';
import type { FollowUps } from '../analysis/follow-ups.ts';
import { controlWords, drillWords } from './arm-words.ts';
import { estimate, type Setting } from './estimate.ts';

/** The estimate that answers the question. */
export function mainEstimate(setting: Setting, arm: string, effect: Effect): FindingEstimate {
  const { design, metric } = setting;
  const drill = drillWords(arm, design.drills);
  const control = design.control === null ? '' : controlWords(design.control);
  const more = directionWords(metric.column, 1);
  switch (design.kind) {
    case 'parallel':
      return estimate(
        setting,
        'effect',
        design.drills.length < 2
          ? 'drill effect at post, full swings'
          : `effect of '${arm}' at post, full swings`,
        effect,
        `How much ${more} ${metric.label} is after ${drill} than after ${control}, in golfers who started alike; below zero is ${directionWords(metric.column, -1)}.`,
      );
    case 'crossover':
      return estimate(
        setting,
        'effect',
        'drill minus control, full swings',
        effect,
        `How much ${more} ${metric.label} is after ${drill} than after ${control} in the same golfers, a shift between the periods taken out.`,
      );
    case 'stepped-start':
      return estimate(
        setting,
        'effect',
        'effect of having started the drill, full swings',
        effect,
        `How much ${more} ${metric.label} is once a golfer has started than before, what changed for everybody over the calendar taken out.`,
      );
    case 'before-after':
      return estimate(
        setting,
        'effect',
        design.drills.length < 2
          ? 'change from before to after, full swings'
          : `change from before to after in '${arm}', full swings`,
        effect,
        `How much ${more} ${metric.label} is after the drill than before. Without a control it contains practice, time and regression to the mean besides any effect of the drill.`,
      );
  }
}

/** The plain change of one arm, which answers nothing by itself. */
export function changeEstimate(setting: Setting, arm: string, more: FollowUps): FindingEstimate {
  const control = arm === setting.design.control;
  return estimate(
    setting,
    control ? 'change-control' : 'change-drill',
    `change from before to after in '${arm}', full swings`,
    more.changes.get(arm) ?? NO_EFFECT,
    control
      ? 'The mean change of golfers without the drill: practice, time and regression to the mean.'
      : 'The mean change of golfers who did the drill, not compared with anything: practice, time and regression to the mean are in it.',
  );
}
