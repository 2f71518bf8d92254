import type { Stream } from '../../../numerics/index.ts';
import {
  type CurveQuestion,
  type Curves,
  curveScores,
  type MaximumDistribution,
  maximumCritical,
  maximumDistribution,
  maximumP,
  type NodeWindow,
  type PermutationP,
  type RandomFieldThreshold,
  randomFieldThreshold,
  type Smoothness,
  smoothness,
  tField,
  windowsOf,
} from '../../../stats/index.ts';

/** Curves compared at every node at once. */
export interface CurveComparison {
  readonly effect: Float64Array;
  readonly standardError: Float64Array;
  readonly t: Float64Array;
  readonly degreesOfFreedom: number;
  /** |t| that the largest over the curve exceeds with probability 1 - level at most; null with too few golfers. */
  readonly critical: number | null;
  /** Ends of the band that holds the true curve everywhere with this level; null with too few golfers. */
  readonly band: { readonly low: Float64Array; readonly high: Float64Array } | null;
  /** Where the band leaves out zero. */
  readonly windows: readonly NodeWindow[];
  /** Of the largest |t|. */
  readonly p: PermutationP;
  readonly distribution: MaximumDistribution;
  readonly smoothness: Smoothness;
  readonly randomField: RandomFieldThreshold & { readonly windows: readonly NodeWindow[] };
}

export interface CompareOptions {
  readonly level: number;
  /** Arrangements gone through or drawn. */
  readonly most: number;
  /** Called for a fresh stream, so that the same data give the same numbers whatever was drawn before. */
  readonly stream: () => Stream;
}

/**
 * Compares curves whole. The critical value is the larger of two from permutation: of the curves as they are, which makes
 * the test exact when nothing differs anywhere, and of their residuals, which keeps the band honest where curves do differ
 * (as Freedman and Lane 1983, J Bus Econ Stat 1:292, permute residuals). Windows and band are thus one and the same answer.
 *
 * @throws RangeError when the question does not fit the curves; see `curveScores`
 */
export function compareCurves(
  curves: Curves,
  question: CurveQuestion,
  { level, most, stream }: CompareOptions,
): CurveComparison {
  const scores = curveScores(curves, question);
  const field = tField(scores);
  const { effect, standardError, t, degreesOfFreedom, residuals } = field;
  const distribution = maximumDistribution(scores, { most, stream: stream() });
  const ofResiduals = maximumDistribution(curveScores({ ...curves, values: residuals }, question), {
    most,
    stream: stream(),
  });
  const both = [maximumCritical(distribution, level), maximumCritical(ofResiduals, level)];
  const critical = both[0] === null || both[1] === null ? null : Math.max(both[0]!, both[1]!);
  const smooth = smoothness(field, curves.rows);
  const threshold = randomFieldThreshold({ degreesOfFreedom, length: smooth.length }, curves.nodes, level);
  const beyond = (limit: number) =>
    windowsOf(curves.nodes, (q) => (Math.abs(t[q]!) > limit ? Math.sign(t[q]!) : 0));
  return {
    effect,
    standardError,
    t,
    degreesOfFreedom,
    critical,
    band:
      critical === null
        ? null
        : {
            low: effect.map((value, q) => value - critical * standardError[q]!),
            high: effect.map((value, q) => value + critical * standardError[q]!),
          },
    windows: critical === null ? [] : beyond(critical),
    p: maximumP(
      distribution,
      t.reduce((most, value) => Math.max(most, Math.abs(value)), 0),
    ),
    distribution,
    smoothness: smooth,
    randomField: { ...threshold, windows: beyond(threshold.value) },
  };
}
