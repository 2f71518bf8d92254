import type { MixedSlopes } from './mixed-slopes.ts';
import type { Slope } from './slope.ts';

/** One golfer on the panel of slopes. Slopes per unit. */
export interface GolferSlope {
  readonly golfer: string;
  readonly swings: number;
  readonly meanPredictor: number;
  readonly meanOutcome: number;
  /** By the golfer's own swings alone; null below three swings or without spread. */
  readonly own: number | null;
  /** Pulled towards the slope of all by how noisy it is; the slope of all where slopes were taken as one. */
  readonly shrunken: number;
  /** Span of the golfer's predictor, for the line. */
  readonly from: number;
  readonly to: number;
}

/**
 * Each golfer's slope: own, and shrunken as slope + v / (v + e) (own - slope), with v the variance of golfers' slopes and e
 * that of the own estimate (Morris 1983, J Am Stat Assoc 78:47-55). Uncorrected for measurement error.
 */
export function golferSlopes(
  { frame, choice, uncorrected }: Slope,
  mixed: MixedSlopes | null,
): GolferSlope[] {
  const { predictor, outcome } = choice;
  const x = frame.raw[predictor]!;
  const y = frame.raw[outcome]!;
  const variance = (mixed?.slopeSd[predictor] ?? 0) ** 2;
  return frame.golferNames.map((golfer, g) => {
    const rows = [...frame.golferAt.keys()].filter((i) => frame.golferAt[i] === g);
    const n = rows.length;
    const meanX = rows.reduce((sum, i) => sum + x[i]!, 0) / n;
    const meanY = rows.reduce((sum, i) => sum + y[i]!, 0) / n;
    let [xx, xy] = [0, 0];
    for (const i of rows) {
      xx += (x[i]! - meanX) ** 2;
      xy += (x[i]! - meanX) * (y[i]! - meanY);
    }
    const own = n >= 3 && xx > 0 ? xy / xx : null;
    const error = xx > 0 ? (mixed?.residualSd ?? 0) ** 2 / xx : Number.POSITIVE_INFINITY;
    const trust = own === null || variance + error === 0 ? 0 : variance / (variance + error);
    const spans = rows.map((i) => x[i]!);
    return {
      golfer,
      swings: n,
      meanPredictor: meanX,
      meanOutcome: meanY,
      own,
      shrunken: uncorrected.value + (own === null ? 0 : trust * (own - uncorrected.value)),
      from: Math.min(...spans),
      to: Math.max(...spans),
    };
  });
}
