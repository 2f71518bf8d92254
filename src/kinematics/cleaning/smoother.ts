import {
  butterworthLowPass,
  localPolynomialWeights,
  type SecondOrderFilter,
  twoPassDesignCutoff,
} from '../../numerics/index.ts';
import { type NoiseLeft, noiseLeftBy } from './noise-left.ts';

/** A two-pass low-pass filter with the lengths that go with it. */
export interface LowPass {
  /** Frequency at which both passes together let 1/sqrt(2) of the amplitude through, Hz. */
  readonly cutoffHz: number;
  /** Cut-off that one pass was designed with so that both together have theirs at `cutoffHz`, Hz. */
  readonly onePassCutoffHz: number;
  /** Null where the capture is too coarse to filter: fewer than five samples to a period of the cut-off. */
  readonly filter: SecondOrderFilter | null;
  /** Frames of padding: one and a half periods of the cut-off, after which the filter has forgotten. */
  readonly pad: number;
  /** Frames from which the trend at an end is taken: 0.8 of a period of the cut-off. */
  readonly trend: number;
  /** Weights of the trend's samples, the last one first, in the samples 1, ..., pad beyond the end; row after row. */
  readonly ahead: Float64Array;
}

export interface Smoother extends LowPass {
  /** What the filter leaves of white noise; worked out when first asked for. */
  readonly noiseLeft: NoiseLeft;
}

/** With fewer, a cubic runs off between one sample and the next and a filter has little noise to take away. */
export const FEWEST_SAMPLES_A_PERIOD = 5;

const smoothers = new Map<string, Smoother>();
const lowPasses = new Map<string, LowPass>();
const MOST_KEPT = 128;

/** What was made before for the same cut-off and rate: every capture of a folder asks for the same few. */
function remembered<T>(kept: Map<string, T>, cutoffHz: number, rateHz: number, make: () => T): T {
  const key = `${cutoffHz} at ${rateHz}`;
  const before = kept.get(key);
  if (before) return before;
  if (kept.size >= MOST_KEPT) kept.clear();
  const made = make();
  kept.set(key, made);
  return made;
}

/** A smoother for a cut-off and rate; it leaves a capture alone that is too coarse for the cut-off. */
export function createSmoother(cutoffHz: number, rateHz: number): Smoother {
  return remembered(smoothers, cutoffHz, rateHz, () => {
    const coarse = rateHz < FEWEST_SAMPLES_A_PERIOD * cutoffHz;
    const lowPass = coarse ? unfiltered(cutoffHz, rateHz) : createLowPass(cutoffHz, rateHz);
    let left: NoiseLeft | null = null;
    return {
      ...lowPass,
      get noiseLeft() {
        left ??= noiseLeftBy(lowPass);
        return left;
      },
    };
  });
}

/** The filter alone, at any cut-off below half the rate. */
export function createLowPass(cutoffHz: number, rateHz: number): LowPass {
  return remembered(lowPasses, cutoffHz, rateHz, () => {
    const onePassCutoffHz = twoPassDesignCutoff(cutoffHz, rateHz);
    const pad = Math.ceil((1.5 * rateHz) / cutoffHz);
    const trend = Math.max(5, Math.ceil((0.8 * rateHz) / cutoffHz));
    const filter = butterworthLowPass(onePassCutoffHz, rateHz);
    return { cutoffHz, onePassCutoffHz, filter, pad, trend, ahead: weightsAhead(trend, pad) };
  });
}

function unfiltered(cutoffHz: number, rateHz: number): LowPass {
  const pad = Math.ceil((1.5 * rateHz) / cutoffHz);
  return { cutoffHz, onePassCutoffHz: cutoffHz, filter: null, pad, trend: 0, ahead: new Float64Array(0) };
}

/** The cubic trend k samples on, plus the residual of the sample as far before the end, as weights of the samples. */
function weightsAhead(trend: number, pad: number): Float64Array {
  const times = Array.from({ length: trend }, (_, i) => -i);
  const weights = new Float64Array(pad * trend);
  for (let row = 0; row < pad; row++) {
    const carriedOn = localPolynomialWeights(times, 3, row + 1).value;
    weights.set(carriedOn, row * trend);
    if (row >= trend) continue;
    const fitted = localPolynomialWeights(times, 3, -row).value;
    for (let i = 0; i < trend; i++) {
      const at = row * trend + i;
      weights[at] = weights[at]! - fitted[i]! + (i === row ? 1 : 0);
    }
  }
  return weights;
}
