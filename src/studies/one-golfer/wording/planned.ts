import type { Dataset } from '../../../dataset/index.ts';
import type { Planned, PlannedPart } from '../../finding.ts';
import { plannedOf } from '../../shared/planned.ts';
import { asPlanned, changed, leftOpen } from '../../shared/planned-parts.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';
import { list } from '../../shared/words.ts';
import type { StudyOptions } from '../../study.ts';
import type { Answers } from '../analysis/answers.ts';

/** Whether the question was written down beforehand, and each part of the answer against the plan. */
export function plannedSeries(
  dataset: Dataset,
  options: StudyOptions,
  metric: StudyMetric,
  golfers: readonly string[],
  { smallest, level, randomisation }: Pick<Answers, 'smallest' | 'level' | 'randomisation'>,
): Planned {
  const plan = options.plan;
  const parts: PlannedPart[] =
    plan === undefined
      ? []
      : [
          golfersPart(plan.series?.golfers, golfers),
          plan.series === undefined
            ? leftOpen(
                'the draw',
                'whether and how the start was drawn is not said; p is only as if it had been',
              )
            : randomisation.ok
              ? asPlanned(
                  'the draw',
                  plan.series.startDrawn
                    ? 'The start was drawn at random.'
                    : 'The start was not drawn at random.',
                )
              : changed('the draw', `No randomisation test could be done: ${randomisation.why}.`),
          plan.phases === undefined
            ? leftOpen('the phases that are compared', 'baseline as A, training and post as B')
            : asPlanned('the phases that are compared', `${plan.phases.before} and ${plan.phases.after}.`),
        ];
  return plannedOf({ study: 'one-golfer', dataset, options, metric, smallest, level, parts });
}

function golfersPart(planned: readonly string[] | undefined, asked: readonly string[]): PlannedPart {
  const part = 'the golfer';
  if (planned === undefined) return leftOpen(part, `${list(asked)} was named when asking`);
  return [...planned].sort().join('\n') === [...asked].sort().join('\n')
    ? asPlanned(part, `${list(asked)}.`)
    : changed(part, `The plan names ${list(planned)}; the answer is about ${list(asked)}.`);
}
