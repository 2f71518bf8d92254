export { codesFor, possibleCodes } from './codes.ts';
export { ERASURES_FILE, type Erasure, eraseGolfer } from './erase-golfer.ts';
export { namesKnownIn } from './imports/known-imports.ts';
export { type PseudonymKey, readKey } from './key.ts';
export type { PrivacyOutcome, PrivacyProblem } from './privacy-problem.ts';
export { type Pseudonymised, pseudonymise } from './pseudonymise.ts';
export { type Scan, scanFolder } from './scan-folder.ts';
export {
  type Consent,
  type ConsentGap,
  consents,
  minorsWithoutGuardian,
  SCOPES,
  type Scope,
} from './share/consent.ts';
export { LEAST_GROUP } from './share/disclosed.ts';
export { type Shared, type ShareRequest, shareDataset } from './share/share-dataset.ts';
