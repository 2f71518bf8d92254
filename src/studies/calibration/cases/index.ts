import type { KnownTruth } from '../known-truth.ts';
import { drillTrialCases } from './drill-trial.ts';
import { instructorsCases } from './instructors.ts';
import { mechanismCases } from './mechanism.ts';
import { noiseCases } from './noise.ts';
import { oneGolferCases } from './one-golfer.ts';
import { waveformCases } from './waveform.ts';

/** All cohorts of known truth, in the order of the table. */
export const knownTruths: readonly KnownTruth[] = [
  ...noiseCases,
  ...drillTrialCases,
  ...oneGolferCases,
  ...mechanismCases,
  ...instructorsCases,
  ...waveformCases,
];
