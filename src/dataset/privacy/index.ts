export { codesFor, possibleCodes } from './codes.ts';
export { ERASURES_FILE, type Erasure, eraseGolfer } from './erase-golfer.ts';
export { type PseudonymKey, readKey } from './key.ts';
export type { PrivacyOutcome, PrivacyProblem } from './privacy-problem.ts';
export { type Scan, scanFolder } from './scan-folder.ts';
