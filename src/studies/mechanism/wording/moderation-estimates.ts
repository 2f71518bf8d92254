import type { FindingEstimate } from '../../finding.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';
import type { Answers } from '../analysis/ask.ts';
import { times } from '../analysis/estimate.ts';
import { perStep, STEP, slopeUnit } from '../input/columns.ts';
import { estimate, labelOf } from './shown.ts';

export function moderationEstimates(
  { moderations, slope, level }: Answers,
  metric: StudyMetric,
): FindingEstimate[] {
  const { predictor } = slope.choice;
  const factor = perStep(predictor) * STEP;
  const unit = `${slopeUnit(metric.column, predictor)} per ${STEP} deg`;
  return moderations.flatMap(({ turn, usual, ofSwing }) => [
    estimate(
      `moderation-usual-${turn}`,
      `change of the slope for golfers with 10 deg more ${labelOf(turn)}`,
      times(usual, factor),
      unit,
      level,
      'Whether the elbow goes with more in golfers who usually turn further (as measured). It compares golfers.',
    ),
    estimate(
      `moderation-swing-${turn}`,
      `change of the slope in swings with 10 deg more ${labelOf(turn)}`,
      times(ofSwing, factor),
      unit,
      level,
      'Whether it does in the swings in which a golfer turned further than usual (as measured).',
    ),
  ]);
}
