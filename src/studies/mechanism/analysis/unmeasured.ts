import {
  asStrongAs,
  indirectParts,
  pooledProducts,
  robustnessValue,
  standardisedEValue,
  type UnmeasuredCause,
  withUnmeasured,
} from '../../../stats/index.ts';
import type { Swings } from '../input/summed-swings.ts';
import type { Found } from './estimate.ts';
import { type Frame, frameOf, productsOf } from './frame.ts';
import type { Slope } from './slope.ts';

/** How strong an unmeasured cause inside golfers would have to be. Shares of variance are of what varies inside golfers. */
export interface Unmeasured {
  /** Of the outcome's variance inside golfers, what the predictor goes with. */
  readonly partialR2: number;
  /** To bring the slope to zero, and the nearer end of its interval to zero (0 where it is there already). */
  readonly toZero: number;
  readonly intervalToZero: number;
  /** To bring the slope below the smallest that matters; null where it is below already. */
  readonly belowSmallest: number | null;
  readonly eValue: { readonly estimate: number; readonly interval: number };
  /** What a cause as strong as a measured one would leave of the slope. */
  readonly benchmarks: readonly {
    readonly column: string;
    readonly measured: UnmeasuredCause;
    /** Share of the slope that is left; below 0 where its sign would turn. */
    readonly left: number;
  }[];
}

/**
 * Robustness values of the slope inside golfers, from the pooled cross products of deviations. The interval's end is brought
 * to zero by taking away the share of the slope that lies between zero and that end, so that golfers' clustering, which the
 * interval holds, is kept.
 */
export function unmeasuredOf(
  slope: Slope,
  smallest: number | null,
  benchmarks: readonly string[],
  step: number,
  swings: Swings = slope.frame.each ?? [],
): Unmeasured | null {
  const { frame, choice, within } = slope;
  const { predictor, outcome } = choice;
  const s = pooledProducts(productsOf(frame, [predictor, outcome]));
  const [xx, xy, yy] = [s[0]!, s[1]!, s[3]!];
  if (!(xx > 0 && yy > 0)) return null;
  const partial = (xy * xy) / (xx * yy);
  const df = frame.size - frame.golfers - 1;
  const size = Math.abs(within.value * step);
  const near = nearEnd(within);
  return {
    partialR2: partial,
    toZero: robustnessValue(partial),
    intervalToZero: near === 0 ? 0 : robustnessValue(partial, near / Math.abs(within.value)),
    belowSmallest:
      smallest === null || size <= smallest ? null : robustnessValue(partial, (size - smallest) / size),
    eValue: standardised(within, Math.sqrt(xx / df), Math.sqrt(yy / df)),
    benchmarks: benchmarks.flatMap((column) => benchmark(slope, swings, column)),
  };
}

function nearEnd({ interval }: Found): number {
  if (interval === null || interval[0] * interval[1] <= 0) return 0;
  return Math.min(Math.abs(interval[0]), Math.abs(interval[1]));
}

/** One SD of the predictor inside golfers against the outcome's SD inside golfers. */
function standardised(within: Found, sdX: number, sdY: number) {
  const scale = sdX / sdY;
  return standardisedEValue(within.value * scale, within.standardError * scale);
}

function benchmark(
  { frame, choice }: Slope,
  swings: Swings,
  column: string,
): Unmeasured['benchmarks'][number][] {
  const { predictor, outcome } = choice;
  if (column === predictor || column === outcome) return [];
  const with3: Frame = frameOf(swings, [predictor, outcome, column]);
  if (with3.size < 0.5 * frame.size || with3.golfers < 5) return [];
  const s = pooledProducts(productsOf(with3, [predictor, outcome, column]));
  const at = (i: number, j: number) => s[3 * i + j]!;
  const [xx, yy, zz] = [at(0, 0), at(1, 1), at(2, 2)];
  if (!(xx > 0 && yy > 0 && zz > 0)) return [];
  const ofPredictor = at(0, 2) ** 2 / (xx * zz);
  const left = {
    y: yy - at(0, 1) ** 2 / xx,
    z: zz - at(0, 2) ** 2 / xx,
    yz: at(1, 2) - (at(0, 1) * at(0, 2)) / xx,
  };
  if (!(left.y > 0 && left.z > 0)) return [];
  const measured = { ofPredictor, ofOutcome: left.yz ** 2 / (left.y * left.z) };
  const cause = asStrongAs(measured);
  if (cause === null || cause.ofPredictor >= 1) return [];
  const slope = at(0, 1) / xx;
  const df = with3.size - with3.golfers - 1;
  const standardError = Math.sqrt(left.y / df / xx);
  const reduced = withUnmeasured({ slope, standardError, degreesOfFreedom: df }, cause);
  return [{ column, measured, left: reduced.slope / slope }];
}

/** The correlation of errors of carrier and outcome, inside golfers, at which the indirect effect would be zero. */
export function correlationToZero(frame: Frame, columns: readonly [string, string, string]): number | null {
  const df = frame.size - frame.golfers - 1;
  return df > 0 ? (indirectParts(pooledProducts(productsOf(frame, columns)), df)?.correlation ?? null) : null;
}
