/** Questions put to the likelihood: tests of one model against another, profile intervals. */

export { type LikelihoodRatio, likelihoodRatio } from './likelihood-ratio.ts';
export { type ProfileInterval, profileIntervals } from './profile-intervals.ts';
