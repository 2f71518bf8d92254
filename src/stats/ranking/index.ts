/** Groups compared: shrunken effects, their joint distribution, ranks. */

export { type GroupPosterior, groupPosterior } from './group-posterior.ts';
export { type GroupSums, groupSums } from './group-sums.ts';
export { chanceAhead, type GroupRank, groupRanks } from './ranks.ts';
export { OVERLAP_FACTOR, type ShrunkenEffect, separableShare, shrunkenEffects } from './shrunken-effects.ts';
