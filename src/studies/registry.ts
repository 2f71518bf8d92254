import { drillTrialStudy } from './drill-trial/drill-trial.ts';
import type { Study } from './study.ts';

/** The studies there are, by the name that is typed. */
export const studies = { 'drill-trial': drillTrialStudy } as const satisfies Readonly<Record<string, Study>>;

export type StudyName = keyof typeof studies;

/** Whether there is a study of this name. */
export function isStudyName(name: string): name is StudyName {
  return Object.hasOwn(studies, name);
}
