import type { SegmentLength } from './cleaning/rigidity.ts';
import { createSmoother } from './cleaning/smoother.ts';
import type { Processing } from './measurement.ts';
import { largestChange } from './metrics/report.ts';
import type { LandmarkMotion } from './motion.ts';
import type { PreparedTrial } from './prepare-trial.ts';
import { TOP_CUTOFF_HZ } from './processing-options.ts';

const FILTER_IN_WORDS =
  'Second-order low-pass Butterworth, forwards and backwards (no lag). One pass is designed with a cut-off of fs/pi atan(tan(pi fc/fs)/(sqrt 2 - 1)^(1/4)), so that both passes together let 1/sqrt 2 of the amplitude through at the stated fc. Runs are continued at their ends by reflection about a cubic trend.';

const DERIVATIVES_IN_WORDS: Readonly<Record<Processing['derivatives']['method'], string>> = {
  'central differences':
    'Five-point differences of filtered positions (one-sided at the ends of a run); between frames the polynomial through six of them.',
  spline:
    'The interpolating cubic spline (not-a-knot ends) through filtered positions; between frames the one through twelve of them.',
};

const AT_IMPACT_IN_WORDS =
  'Readings at impact and low point: a cubic fitted to the unfiltered frames of the last 30 ms (club) or 45 ms (body) before contact.';

/** Everything that was done to the data, frames numbered as the file does. */
export function processingRecord(
  { motion, processing, residuals, repairs, gaps, strike, ball }: PreparedTrial,
  segments: readonly SegmentLength[],
  noiseGiven: boolean,
  firstFrame: number,
): Omit<Processing, 'definitions' | 'segmentDefinitions'> {
  const { rateHz, frames, split } = motion;
  const numbered = <T extends { readonly from: number; readonly to: number }>(span: T): T => ({
    ...span,
    from: span.from + firstFrame,
    to: span.to + firstFrame,
  });
  const takeaway = strike?.takeaway?.frame ?? 0;
  const ofLandmarks = <T>(value: (landmark: LandmarkMotion, name: string) => T): Record<string, T> =>
    Object.fromEntries([...motion.landmarks].map(([name, landmark]) => [name, value(landmark, name)]));
  return {
    rateHz,
    filter: {
      method: FILTER_IN_WORDS,
      cutoff: processing.cutoff,
      throughImpact: processing.filterThroughImpact,
      landmarks: ofLandmarks(({ smoother }, name) => {
        if (!smoother.filter) return null;
        const { cutoffHz, onePassCutoffHz } = smoother;
        const analysis = residuals.get(name);
        const residualNoise_mm = analysis ? analysis.noise_m * 1000 : null;
        return { cutoffHz, onePassCutoffHz, residualNoise_mm };
      }),
      topCutoffHz: createSmoother(TOP_CUTOFF_HZ, rateHz).filter ? TOP_CUTOFF_HZ : null,
    },
    derivatives: {
      method: processing.derivatives,
      inWords: `${DERIVATIVES_IN_WORDS[processing.derivatives]} ${AT_IMPACT_IN_WORDS}`,
    },
    ball: strike?.ballGiven ? 'given' : ball ? 'head at address' : 'unknown',
    noise: noiseGiven ? 'given' : 'estimated',
    noise_mm: ofLandmarks(({ noiseVariance }) => Math.sqrt(noiseVariance) * 1000),
    repairs: repairs.map(numbered),
    longestSplineGap_ms: processing.longestGap_s * 1000,
    gaps: gaps.map(numbered),
    segments: segments.map((s) => ({
      from: s.pair[0],
      to: s.pair[1],
      length_mm: s.usual_m * 1000,
      largestChange_mm: largestChange(s, takeaway, split ?? frames - 1) * 1000,
    })),
  };
}
