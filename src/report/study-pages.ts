import type { Finding } from '../studies/index.ts';
import { drillTrialPage } from './drill-trial/drill-trial-page.ts';
import { noisePage } from './noise/noise-page.ts';
import { oneGolferPage } from './one-golfer/one-golfer-page.ts';
import { emptyStudyPage, type StudyPage, type StudyPageMaker } from './study-page.ts';

/** What each study adds to its page, by the study's name. */
const makers: Readonly<Record<string, StudyPageMaker>> = {
  'drill-trial': drillTrialPage,
  noise: noisePage,
  'one-golfer': oneGolferPage,
};

/** The study's part of the page of a finding; empty for a study that adds nothing. */
export function studyPage(finding: Finding): StudyPage {
  const maker = Object.hasOwn(makers, finding.study) ? makers[finding.study] : undefined;
  return maker?.(finding) ?? emptyStudyPage(finding.study);
}
