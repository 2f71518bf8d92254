import type { FindingEstimate } from '../../finding.ts';
import { type StudyMetric, studyMetric } from '../../shared/study-metric.ts';
import type { Answers, StrikeEnd } from '../analysis/ask.ts';
import { isShown } from '../analysis/curvature.ts';
import { times } from '../analysis/estimate.ts';
import { isStrikeLink } from '../analysis/strike.ts';
import { perStep, slopeUnit, stepOf } from '../input/columns.ts';
import { estimate } from './shown.ts';

const ODDS = { ordinal: 'odds of a better rating', 'yes-no': 'odds of a yes' } as const;

export function strikeEstimates(
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
