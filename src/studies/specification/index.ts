/** One question under every combination of stated choices. */

export type { SpecificationChoice, SpecificationOption } from './choice.ts';
export type { SpecificationCurve, SpecificationInfluence, SpecificationRow } from './specification.ts';
export { MOST_SPECIFICATIONS, specificationCurve } from './specification-curve.ts';
export { standardChoices } from './standard-choices.ts';
