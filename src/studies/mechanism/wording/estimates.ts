import type { FindingEstimate } from '../../finding.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';
import type { Answers } from '../analysis/ask.ts';
import { doubtEstimates } from './doubt-estimates.ts';
import { moderationEstimates } from './moderation-estimates.ts';
import { pathEstimates } from './path-estimates.ts';
import { slopeEstimates } from './slope-estimates.ts';
import { strikeEstimates } from './strike-estimates.ts';

/** Every number of the finding, the answer first. */
export function listEstimates(answers: Answers, metric: StudyMetric): FindingEstimate[] {
  return [
    ...slopeEstimates(answers, metric),
    ...pathEstimates(answers, metric),
    ...answers.strikes.flatMap((end) => strikeEstimates(answers, end, metric)),
    ...moderationEstimates(answers, metric),
    ...doubtEstimates(answers),
  ];
}
