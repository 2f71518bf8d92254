import type { FindingEstimate } from '../../finding.ts';
import { type StudyMetric, studyMetric } from '../../shared/study-metric.ts';
import type { Answers, StrikeEnd } from '../analysis/ask.ts';
import { isShown } from '../analysis/curvature.ts';
import { type Found, times } from '../analysis/estimate.ts';
import { isStrikeLink } from '../analysis/strike.ts';
import { perStep, STEP, slopeUnit, stepOf } from '../input/columns.ts';
import { estimate, labelOf } from './shown.ts';

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

function slopeEstimates(
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

function pathEstimates({ mediated, slope, level }: Answers, metric: StudyMetric): FindingEstimate[] {
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

const ODDS = { ordinal: 'odds of a better rating', 'yes-no': 'odds of a yes' } as const;

function strikeEstimates(
  { slope, level }: Answers,
  { link, indirect, curvature }: StrikeEnd,
  metric: StudyMetric,
): FindingEstimate[] {
  if (!isStrikeLink(link)) return [];
  const { strike, kind } = link;
  const { predictor } = slope.choice;
  const own = studyMetric(strike);
  const list: FindingEstimate[] = [];
  const step = stepOf(predictor).short;
  if (kind === 'number')
    list.push(
      estimate(
        `strike-${strike}`,
        `${own.label} with 1 ${metric.unit} more ${metric.label}`,
        link.slope,
        `${own.unit} per ${metric.unit}`,
        level,
        `Last arrow, inside golfers, elbow and release held. ${own.goodDirection === -1 ? 'Below zero is the better way.' : ''}`.trim(),
      ),
    );
  else
    list.push(
      estimate(
        `strike-${strike}`,
        `${ODDS[kind]} (${own.label}) with 1 ${metric.unit} more ${metric.label}`,
        oddsRatio(link.slope),
        'times the odds',
        level,
        `Last arrow, inside golfers, elbow and release held. Above 1: ${kind === 'ordinal' ? 'better ratings' : 'more often yes'}.`,
      ),
    );
  if (indirect !== null) {
    const told = times({ ...indirect, standardError: 0, degreesOfFreedom: null }, perStep(predictor));
    list.push(
      kind === 'number'
        ? estimate(
            `chain-${strike}`,
            `${own.label} with ${step}, along the whole chain`,
            told,
            slopeUnit(strike, predictor),
            level,
            'Elbow to release to outcome to strike: the three arrows multiplied, drawn as normals.',
          )
        : estimate(
            `chain-${strike}`,
            `${ODDS[kind]} (${own.label}) with ${step}, along the whole chain`,
            oddsRatio(told),
            'times the odds',
            level,
            'Elbow to release to outcome to strike: the three arrows multiplied on the scale of log odds, drawn as normals.',
          ),
    );
  }
  if (curvature !== null) {
    const shown = isShown(curvature);
    list.push(
      estimate(
        `turning-point-${strike}`,
        `${metric.label} at which ${own.label} is at its ${curvature.turn.kind}`,
        { value: shown ? curvature.turn.at : Number.NaN, interval: shown ? curvature.turn.interval : null },
        metric.unit,
        level,
        shown
          ? 'Where more stops being better (or worse), taken as the same for every golfer; Fieller’s interval.'
          : 'The curve cannot be told from a straight line, or turns beyond the swings seen: these data show no turning point.',
      ),
    );
  }
  return list;
}

function oddsRatio({
  value,
  interval,
}: {
  readonly value: number;
  readonly interval: readonly [number, number] | null;
}) {
  return {
    value: Math.exp(value),
    interval: interval === null ? null : ([Math.exp(interval[0]), Math.exp(interval[1])] as const),
  };
}

function moderationEstimates({ moderations, slope, level }: Answers, metric: StudyMetric): FindingEstimate[] {
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

function doubtEstimates({ unmeasured, mediated, level }: Answers): FindingEstimate[] {
  if (unmeasured === null) return [];
  const bare = (value: number) => ({ value, interval: null });
  const list = [
    estimate(
      'robustness',
      'strength of an unmeasured cause that would explain the link away',
      bare(100 * unmeasured.toZero),
      '%',
      level,
      'Share of what varies inside golfers that it would have to explain, of the elbow and of the outcome alike (Cinelli and Hazlett 2020).',
    ),
    estimate(
      'robustness-interval',
      'strength that would bring the interval to no link',
      bare(100 * unmeasured.intervalToZero),
      '%',
      level,
      '0% where the interval holds no link already.',
    ),
    estimate(
      'e-value',
      'the same as a risk ratio (E-value), for one SD of the elbow',
      bare(unmeasured.eValue.estimate),
      '',
      level,
      `An unmeasured cause would have to go with both by this ratio each (VanderWeele and Ding 2017; an approximation for a measured outcome); ${unmeasured.eValue.interval.toFixed(2)} for the nearer end of the interval.`,
    ),
  ];
  if (mediated?.correlationToZero != null)
    list.push(
      estimate(
        'correlation-to-zero',
        'correlation of errors at which nothing would go by way of the release',
        bare(mediated.correlationToZero),
        '',
        level,
        'If what else moves the release also moves the outcome, this strong a correlation would be enough (Imai, Keele and Yamamoto 2010).',
      ),
    );
  return list;
}
