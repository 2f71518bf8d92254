import { golferMeans, productsOf } from './frame.ts';
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
  const { counts, means } = golferMeans(frame, [predictor, outcome]);
  // About the golfer's own means, whatever the slope is taken about.
  const { products } = productsOf({ ...frame, own: 'golfer' }, [predictor, outcome]);
  const { golfer: golferOf, least, most } = frame.cells;
  const at = frame.columns.indexOf(predictor);
  const from = new Float64Array(frame.golfers).fill(Number.POSITIVE_INFINITY);
  const to = new Float64Array(frame.golfers).fill(Number.NEGATIVE_INFINITY);
  golferOf.forEach((g, s) => {
    from[g] = Math.min(from[g]!, least[at]![s]!);
    to[g] = Math.max(to[g]!, most[at]![s]!);
  });
  const variance = (mixed?.slopeSd[predictor] ?? 0) ** 2;
  return frame.golferNames.map((golfer, g) => {
    const n = counts[g]!;
    const [xx, xy] = [products[4 * g]!, products[4 * g + 1]!];
    const own = n >= 3 && xx > 0 ? xy / xx : null;
    const error = xx > 0 ? (mixed?.residualSd ?? 0) ** 2 / xx : Number.POSITIVE_INFINITY;
    const trust = own === null || variance + error === 0 ? 0 : variance / (variance + error);
    return {
      golfer,
      swings: n,
      meanPredictor: means[0]![g]!,
      meanOutcome: means[1]![g]!,
      own,
      shrunken: uncorrected.value + (own === null ? 0 : trust * (own - uncorrected.value)),
      from: from[g]!,
      to: to[g]!,
    };
  });
}
