import type { Plan } from '../../../dataset/index.ts';
import { createStream } from '../../../numerics/index.ts';
import { curvesFrom } from '../../../stats/index.ts';
import type { SmallestChange, Verdict } from '../../finding.ts';
import { smallestChange } from '../../shared/smallest-change.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';
import type { Comparison } from '../input/comparison.ts';
import { type GolferCurve, questionOf } from '../input/golfer-curves.ts';
import type { LaidOut } from '../input/lay-out.ts';
import { type CurveComparison, compareCurves } from './compare-curves.ts';
import { curveVerdict, decidingNode } from './curve-verdict.ts';
import { curveResolution } from './resolution.ts';

export interface CurveRequest {
  readonly kind: Comparison['kind'];
  readonly level: number;
  readonly seed: number;
  readonly most: number;
}

/** One answer: the comparison, its verdict and the node that decides it. */
export interface CurveAnswer {
  readonly compared: CurveComparison;
  readonly verdict: Verdict;
  readonly node: number;
}

/** Of how many arrangements a test is made where there are more. */
export const ARRANGEMENTS = 10_000;

/** SD over golfers of the number that a comparison by number is made with; 1 in the others. */
export function spreadOf(kind: Comparison['kind'], golfers: readonly GolferCurve[]): number {
  if (kind !== 'by-number') return 1;
  const mean = golfers.reduce((sum, { x }) => sum + x, 0) / golfers.length;
  return Math.sqrt(golfers.reduce((sum, { x }) => sum + (x - mean) ** 2, 0) / (golfers.length - 1));
}

/** The comparison of golfers' rows; by number, for golfers one SD of the number apart. */
export function answerCurves(
  golfers: readonly GolferCurve[],
  request: CurveRequest,
  smallest: SmallestChange | null,
): CurveAnswer {
  const { kind, level, seed, most } = request;
  const spread = spreadOf(kind, golfers);
  const compared = compareCurves(
    curvesFrom(golfers.map(({ row }) => row)),
    questionOf(
      kind,
      golfers.map((golfer) => ({ ...golfer, x: golfer.x / spread })),
    ),
    { level, most, stream: () => createStream(seed, 'waveform') },
  );
  const verdict = curveVerdict(compared, smallest);
  return { compared, verdict, node: decidingNode(compared, verdict, smallest?.goodDirection ?? 0) };
}

/** The smallest difference that matters, from the plan about this quantity or from the data. */
export function smallestDifference(
  laid: LaidOut,
  golfers: readonly GolferCurve[],
  metric: StudyMetric,
  plan: Plan | null,
): ReturnType<typeof smallestChange> {
  const planned =
    plan !== null && plan.metric.column === metric.column ? plan.smallestChangeThatMatters : null;
  return smallestChange(metric, planned ?? null, curveResolution(laid, golfers));
}
