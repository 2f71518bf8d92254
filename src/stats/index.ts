/** Numbers in, numbers out: models and what can be asked of them. */

export * from './mediation/index.ts';
export { checkModel } from './models/check-model.ts';
export * from './models/consistency/index.ts';
export type * from './models/contract.ts';
export * from './models/contrasts/index.ts';
export { closestName } from './models/design/closest-name.ts';
export * from './models/diagnostics/index.ts';
export { type DocumentFit, fitDocument } from './models/fit-document.ts';
export { type FitOptions, fitModel } from './models/fit-model.ts';
export { type AveragedPrediction, averagedPredictions } from './models/inference/averaged-prediction.ts';
export { combineAll } from './models/inference/combine.ts';
export * from './models/likelihood/index.ts';
export * from './models/resample/index.ts';
export * from './models/sums/index.ts';
export * from './multiplicity/index.ts';
export * from './ranking/index.ts';
export * from './reliability/index.ts';
export * from './sensitivity/index.ts';
export * from './single-case/index.ts';
export * from './trial/index.ts';
export * from './waveform/index.ts';
