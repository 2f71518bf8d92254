import type { Finding } from '../studies/index.ts';
import { anglePage } from './angle/angle-page.ts';
import { calibrationPage } from './calibration/calibration-page.ts';
import { drillTrialPage } from './drill-trial/drill-trial-page.ts';
import { instructorsPage } from './instructors/instructors-page.ts';
import { mechanismPage } from './mechanism/mechanism-page.ts';
import { noisePage } from './noise/noise-page.ts';
import { oneGolferPage } from './one-golfer/one-golfer-page.ts';
import { planPage } from './plan/plan-page.ts';
import { emptyStudyPage, type StudyPage, type StudyPageMaker } from './study-page.ts';
import { waveformPage } from './waveform/waveform-page.ts';

/** What each study adds to its page, by the study's name. */
const makers: Readonly<Record<string, StudyPageMaker>> = {
  instructors: instructorsPage,
  'drill-trial': drillTrialPage,
  mechanism: mechanismPage,
  noise: noisePage,
  angle: anglePage,
  'one-golfer': oneGolferPage,
  plan: planPage,
  calibration: calibrationPage,
  waveform: waveformPage,
};

/** The study's part of the page of a finding; empty for a study that adds nothing. */
export function studyPage(finding: Finding): StudyPage {
  const maker = Object.hasOwn(makers, finding.study) ? makers[finding.study] : undefined;
  return maker?.(finding) ?? emptyStudyPage(finding.study);
}
