import { drillTrialStudy } from './drill-trial/drill-trial.ts';
import { instructorsStudy } from './instructors/instructors.ts';
import { mechanismStudy } from './mechanism/mechanism.ts';
import { noiseStudy } from './noise/noise.ts';
import { oneGolferStudy } from './one-golfer/one-golfer.ts';
import type { Study } from './study.ts';
import { waveformStudy } from './waveform/waveform.ts';

/** The studies there are, by the name that is typed. */
export const studies = {
  'drill-trial': drillTrialStudy,
  noise: noiseStudy,
  'one-golfer': oneGolferStudy,
  waveform: waveformStudy,
  mechanism: mechanismStudy,
  instructors: instructorsStudy,
} as const satisfies Readonly<Record<string, Study>>;

/** The name of a study that `ask` knows. */
export type StudyName = keyof typeof studies;

/**
 * Whether there is a study of this name.
 * @example isStudyName('noise') // true
 */
export function isStudyName(name: string): name is StudyName {
  return Object.hasOwn(studies, name);
}
