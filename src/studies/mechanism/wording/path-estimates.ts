import type { FindingEstimate } from '../../finding.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';
import type { Answers } from '../analysis/ask.ts';
import { type Found, times } from '../analysis/estimate.ts';
import { perStep, slopeUnit, stepOf } from '../input/columns.ts';
import { estimate, labelOf } from './shown.ts';

export function pathEstimates({ mediated, slope, level }: Answers, metric: StudyMetric): FindingEstimate[] {
  if (mediated === null) return [];
  const { predictor } = slope.choice;
  const { mediator, chain, uncorrected, product } = mediated;
  const unit = slopeUnit(metric.column, predictor);
  const factor = perStep(predictor);
  const step = stepOf(predictor).short;
  const late = stepOf(mediator).short;
  const drawn = (from: string, to: string): Drawn =>
    chain.paths.find((path) => path.from === from && path.to === to)!.estimate;
  const [a, b, direct] = [
    drawn(predictor, mediator),
    drawn(mediator, metric.column),
    drawn(predictor, metric.column),
  ];
  const drawnBy = `Interval from ${chain.draws} draws of golfers with all their swings`;
  const corrected = chain.corrected ? ', measurement errors taken into account' : '';
  const toLater = Math.sign(perStep(mediator));
  const list = [
    estimate(
      'path-predictor-mediator',
      `${labelOf(mediator)} with ${step}`,
      toFound(a, factor),
      slopeUnit(mediator, predictor),
      level,
      `First arrow, inside golfers${corrected}. ${toLater < 0 ? 'Below' : 'Above'} zero is a later release. ${drawnBy}.`,
    ),
    estimate(
      'path-mediator-outcome',
      `${metric.label} with ${late}, the elbow held`,
      toFound(b, perStep(mediator)),
      slopeUnit(metric.column, mediator),
      level,
      `Second arrow, inside golfers${corrected}. ${drawnBy}.`,
    ),
    estimate(
      'path-direct',
      `${metric.label} with ${step}, ${labelOf(mediator)} held`,
      toFound(direct, factor),
      unit,
      level,
      `What goes another way than by ${labelOf(mediator)}${corrected}.`,
    ),
    estimate(
      'indirect',
      `${metric.label} with ${step}, by way of ${labelOf(mediator)}`,
      toFound(chain.routes[0]!.estimate, factor),
      unit,
      level,
      `First arrow times second${corrected}. ${drawnBy}; drawing error of its ends ${chain.routes[0]!.estimate.monteCarloError.map((end) => Math.abs(end * factor).toFixed(3)).join(' and ')}.`,
    ),
  ];
  if (uncorrected !== null)
    list.push(
      estimate(
        'indirect-uncorrected',
        'the same, as measured',
        toFound(uncorrected.routes[0]!.estimate, factor),
        unit,
        level,
        'Without correction for measurement error of elbow and release.',
      ),
    );
  list.push(
    estimate(
      'indirect-product',
      'the same, from two mixed models, as measured',
      times(
        {
          value: product.product,
          interval: product.interval,
          standardError: product.standardError,
          degreesOfFreedom: null,
        },
        factor,
      ),
      unit,
      level,
      'Golfers’ own slopes in each model; interval from the distribution of a product of two estimates. It should tell the same as the drawn golfers do.',
    ),
  );
  if (chain.varying !== null)
    list.push(
      estimate(
        'indirect-varying',
        'the same, with how golfers’ own slopes go together',
        toFound(chain.varying, factor),
        unit,
        level,
        'Where golfers differ in both arrows, the mean of the products is the product of the means plus the covariance of the two slopes (Kenny, Korchmaros and Bolger 2003). The covariance is from golfers’ own slopes, uncorrected.',
      ),
    );
  return list;
}

interface Drawn {
  readonly value: number;
  readonly standardError: number;
  readonly interval: readonly [number, number];
}

function toFound(drawn: Drawn, factor: number): Found {
  return times({ ...drawn, degreesOfFreedom: null }, factor);
}
