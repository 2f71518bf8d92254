/** One question under every combination of stated choices. */

export type { SpecificationChoice, SpecificationOption } from './choice.ts';
export { curveOf, MOST_SPECIFICATIONS, type SpecificationAnswer } from './curve-of.ts';
export type { SpecificationCurve, SpecificationInfluence, SpecificationRow } from './specification.ts';
export { specificationCurve } from './specification-curve.ts';
export { standardChoices } from './standard-choices.ts';
