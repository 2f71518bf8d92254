import type { MechanismPath, MechanismTables } from '../../mechanism-tables.ts';
import { studyMetric } from '../../shared/study-metric.ts';
import type { Answers } from '../analysis/ask.ts';
import { isShown } from '../analysis/curvature.ts';
import { times } from '../analysis/estimate.ts';
import { golferSlopes } from '../analysis/own-slopes.ts';
import { isStrikeLink } from '../analysis/strike.ts';
import { perStep, slopeUnit, stepOf } from '../input/columns.ts';
import type { Rivals } from './rivals.ts';
import { labelOf } from './shown.ts';

export function tablesOf(answers: Answers, rivals: Rivals): MechanismTables {
  const { slope, mixed, mediated, unmeasured } = answers;
  const between = mixed?.between[slope.choice.predictor] ?? null;
  const { predictor, mediator, outcome } = slope.choice;
  const named = (column: string) => ({ column, label: labelOf(column), unit: studyMetric(column).unit });
  const factor = perStep(predictor);
  const bare = ({ value, interval }: { value: number; interval: readonly [number, number] | null }) => ({
    value,
    interval,
  });
  return {
    predictor: named(predictor),
    mediator: mediated === null || mediator === null ? null : named(mediator),
    outcome: named(outcome),
    paths: pathsOf(answers),
    indirect:
      mediated === null
        ? null
        : {
            ...bare(times({ ...mediated.chain.routes[0]!.estimate, degreesOfFreedom: null }, factor)),
            product: times(
              {
                value: mediated.product.product,
                interval: mediated.product.interval,
                standardError: 0,
                degreesOfFreedom: null,
              },
              factor,
            ).interval!,
            unit: slopeUnit(outcome, predictor),
          },
    golfers: golferSlopes(slope, mixed),
    slopes: { within: bare(slope.uncorrected), between: between === null ? null : bare(between) },
    ways: rivals.ways,
    curves: answers.strikes.flatMap(({ curvature }) =>
      curvature === null
        ? []
        : [
            {
              strike: curvature.strike,
              kind: curvature.kind,
              points: curvature.curve,
              turn: { value: curvature.turn.at, interval: curvature.turn.interval },
              turnKind: curvature.turn.kind,
              curved: isShown(curvature),
            },
          ],
    ),
    unmeasured:
      unmeasured === null
        ? null
        : {
            toZero: unmeasured.toZero,
            intervalToZero: unmeasured.intervalToZero,
            belowSmallest: unmeasured.belowSmallest,
            benchmarks: unmeasured.benchmarks.map(({ column, left }) => ({ label: labelOf(column), left })),
          },
  };
}

function pathsOf({ slope, mediated, strikes, answer }: Answers): MechanismPath[] {
  const { predictor, outcome } = slope.choice;
  const last = strikes.flatMap(({ link }): MechanismPath[] => {
    if (!isStrikeLink(link)) return [];
    const odds = link.kind !== 'number';
    const { value, interval } = link.slope;
    return [
      {
        from: outcome,
        to: link.strike,
        step: `1 ${studyMetric(outcome).unit} more ${labelOf(outcome)}`,
        unit: odds ? 'times the odds' : studyMetric(link.strike).unit,
        scale: odds ? 'odds-ratio' : 'slope',
        value: odds ? Math.exp(value) : value,
        interval: interval === null ? null : odds ? [Math.exp(interval[0]), Math.exp(interval[1])] : interval,
      },
    ];
  });
  if (mediated === null)
    return [
      {
        from: predictor,
        to: outcome,
        step: stepOf(predictor).short,
        unit: studyMetric(outcome).unit,
        scale: 'slope',
        value: answer.value,
        interval: answer.interval,
      },
      ...last,
    ];
  const first = mediated.chain.paths.map(({ from, to, estimate }): MechanismPath => {
    const told = times({ ...estimate, degreesOfFreedom: null }, perStep(from));
    return {
      from,
      to,
      step: stepOf(from).short,
      unit: studyMetric(to).unit,
      scale: 'slope',
      value: told.value,
      interval: told.interval,
    };
  });
  return [...first, ...last];
}
