import { studentQuantile } from '../../../numerics/index.ts';
import { fitModel, type Model, turningPoint } from '../../../stats/index.ts';
import { studyMetric } from '../../shared/study-metric.ts';
import type { MechanismSwing } from '../input/swings.ts';
import { columnsOfSwings } from './columns-of-swings.ts';
import { type Found, found } from './estimate.ts';

/** Whether more of the outcome (lean) stops being better for the strike. */
export interface Curvature {
  readonly strike: string;
  readonly kind: 'number' | 'ordinal' | 'yes-no';
  /** Coefficient of the square, per unit squared; on the log-odds scale for a rating or a yes/no. */
  readonly square: Found;
  /** Where the strike is at its highest or lowest; null interval where the curve cannot be told from straight. */
  readonly turn: {
    readonly at: number;
    readonly interval: readonly [number, number] | null;
    readonly kind: 'highest' | 'lowest';
  };
  /** The span of the outcome that holds 95% of the swings. */
  readonly span: readonly [number, number];
  readonly golfers: number;
  readonly swings: number;
  /** The strike over the outcome, less a constant: what the curve alone does. */
  readonly curve: readonly { readonly at: number; readonly value: number }[];
}

/**
 * strike ~ outcome + outcome^2, both as deviations from each golfer's own means (with those means beside them, so that the
 * curve is that inside golfers), golfers' own levels. The same turning point is taken for all. Null where the strike or
 * the outcome does not vary enough.
 */
export function curvatureOf(
  swings: readonly MechanismSwing[],
  strike: string,
  outcome: string,
  level: number,
): Curvature | null {
  const frame = columnsOfSwings(swings, [outcome, strike]);
  if (frame.swings.length < 40) return null;
  const { kind } = studyMetric(strike);
  const lean = frame.raw[outcome]!;
  const middle = lean.reduce((sum, value) => sum + value, 0) / lean.length;
  const own = own2(frame.golferAt, frame.golfers, lean, middle);
  const model: Model = {
    outcome: strike,
    ...(kind === 'number'
      ? {}
      : { distribution: kind === 'ordinal' ? ('ordinal' as const) : ('binary' as const) }),
    fixed: [
      ...(kind === 'ordinal' ? [] : ['intercept' as const]),
      { column: 'lean' },
      { column: 'square' },
      { column: 'usual lean' },
      { column: 'usual square' },
    ],
    random: [{ group: 'golfer', effects: ['intercept'] }],
    inference: { degreesOfFreedom: kind === 'number' ? 'satterthwaite' : 'normal', level },
  };
  const fitted = fitModel(model, {
    golfer: frame.swings.map(({ golfer }) => golfer),
    [strike]: frame.raw[strike]!,
    ...own,
  });
  if (!fitted.ok || !fitted.fit.result.diagnosis.converged) return null;
  const { fixed, covariance } = fitted.fit.result;
  const [at1, at2] = ['lean', 'square'].map((term) => fixed.findIndex((one) => one.term === term)) as [
    number,
    number,
  ];
  const [slope, square] = [fixed[at1], fixed[at2]];
  if (slope === undefined || square === undefined || square.estimate === 0) return null;
  const quantile = studentQuantile((1 + level) / 2, square.degreesOfFreedom ?? Number.POSITIVE_INFINITY);
  const turn = turningPoint({
    slope: slope.estimate,
    square: square.estimate,
    slopeVariance: covariance[at1]![at1]!,
    squareVariance: covariance[at2]![at2]!,
    covariance: covariance[at1]![at2]!,
    quantile,
  });
  const sorted = Float64Array.from(lean).sort();
  const span = [0.025, 0.975].map((p) => sorted[Math.round(p * (sorted.length - 1))]!) as [number, number];
  const steps = Array.from({ length: 25 }, (_, k) => span[0] + (k / 24) * (span[1] - span[0]));
  return {
    strike,
    kind,
    square: found(square.estimate, square.standardError, square.degreesOfFreedom, level),
    turn: {
      at: turn.at + middle,
      interval: turn.interval === null ? null : [turn.interval[0] + middle, turn.interval[1] + middle],
      kind: turn.kind,
    },
    span,
    golfers: frame.golfers,
    swings: frame.swings.length,
    curve: steps.map((at) => ({
      at,
      value: slope.estimate * (at - middle) + square.estimate * (at - middle) ** 2,
    })),
  };
}

/**
 * Whether the data show a turning point: a curve that can be told from a straight line, and one that rises before and falls
 * after it among the swings seen, which holds when the interval of the turning point lies inside their span (Lind and Mehlum
 * 2010, Oxf Bull Econ Stat 72:109-118).
 */
export function isShown({ square, turn, span }: Curvature): boolean {
  const curved = square.interval !== null && (square.interval[0] > 0 || square.interval[1] < 0);
  return curved && turn.interval !== null && turn.interval[0] >= span[0] && turn.interval[1] <= span[1];
}

/** The outcome about its middle and its square, as deviations from golfers' means, and those means. */
function own2(golferAt: Int32Array, golfers: number, lean: Float64Array, middle: number) {
  const [sum1, sum2, counts] = [0, 0, 0].map(() => new Float64Array(golfers)) as [
    Float64Array,
    Float64Array,
    Float64Array,
  ];
  lean.forEach((value, i) => {
    const g = golferAt[i]!;
    sum1[g] = sum1[g]! + value - middle;
    sum2[g] = sum2[g]! + (value - middle) ** 2;
    counts[g] = counts[g]! + 1;
  });
  const mean1 = Float64Array.from(golferAt, (g) => sum1[g]! / counts[g]!);
  const mean2 = Float64Array.from(golferAt, (g) => sum2[g]! / counts[g]!);
  return {
    lean: lean.map((value, i) => value - middle - mean1[i]!),
    square: lean.map((value, i) => (value - middle) ** 2 - mean2[i]!),
    'usual lean': mean1,
    'usual square': mean2,
  };
}
