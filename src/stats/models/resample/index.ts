/** Models fitted again and again: prepared refits, simulation, bootstraps. */

export { type DrawInterval, drawIntervals } from './draw-intervals.ts';
export { type Draws, type DrawTask, drawRefits, type EffectDraws } from './draw-refits.ts';
export { drawRefitsOnWorkers } from './draw-refits-on-workers.ts';
export { type PreparedModel, type PreparedOutcome, prepareModel } from './prepared-model.ts';
export type { Quantity, WeightedSum } from './quantities.ts';
export type { Refit } from './refitter.ts';
export type { Truth } from './truth.ts';
