import type { FindingEstimate } from '../../finding.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';
import type { Answers } from '../analysis/ask.ts';
import { times } from '../analysis/estimate.ts';
import { perStep, slopeUnit, stepOf } from '../input/columns.ts';
import { estimate } from './shown.ts';

export function slopeEstimates(
  { answer, slope, mixed, contextual, level }: Answers,
  metric: StudyMetric,
): FindingEstimate[] {
  const { choice, corrected, uncorrected, reliability } = slope;
  const { predictor } = choice;
  const factor = perStep(predictor);
  const unit = slopeUnit(metric.column, predictor);
  const { short } = stepOf(predictor);
  const usesCorrected = choice.corrected && corrected !== null;
  const list = [
    estimate(
      'within-slope',
      `${metric.label} with ${short}, inside golfers`,
      answer,
      unit,
      level,
      `Swings of one golfer compared with other swings of the same golfer${usesCorrected ? ', measurement error of the elbow taken into account' : ''}. Above zero is ${metric.column === 'shaft_lean_impact_deg' ? 'further forward' : 'higher'}.`,
    ),
  ];
  if (usesCorrected)
    list.push(
      estimate(
        'within-slope-uncorrected',
        'the same, as measured',
        times(uncorrected, factor),
        unit,
        level,
        `Without the correction: ${Math.round(100 * reliability!.share)}% of what varies in the elbow from swing to swing is taken to be true, the rest measurement error, which draws a slope towards zero.`,
      ),
    );
  const [inside, between] = [mixed?.within[predictor], mixed?.between[predictor]];
  if (inside !== undefined)
    list.push(
      estimate(
        'within-slope-mixed',
        'the same, as measured, golfers with their own slopes',
        times(inside, factor),
        unit,
        level,
        'Mixed model with random slopes and Kenward-Roger degrees of freedom: each golfer counts nearly alike where slopes differ. Its interval is on the wide side where they do not.',
      ),
    );
  if (between !== undefined)
    list.push(
      estimate(
        'between-slope',
        'the same, between golfers',
        times(between, factor),
        unit,
        level,
        'Golfers compared with other golfers by their usual swings. It mixes the elbow with everything else in which they differ.',
      ),
    );
  if (contextual !== null)
    list.push(
      estimate(
        'between-less-within',
        'between golfers less inside golfers',
        times(contextual, factor),
        unit,
        level,
        'Zero if comparing golfers told the same as comparing swings of one golfer.',
      ),
    );
  const sd = mixed?.slopeSd[predictor] ?? null;
  if (sd !== null)
    list.push(
      estimate(
        'slope-sd',
        'SD of golfers’ own slopes',
        { value: Math.abs(sd * factor), interval: null },
        unit,
        level,
        'How much golfers differ in what the same step goes with (as measured). Zero: all alike, as far as can be seen.',
      ),
    );
  return list;
}
