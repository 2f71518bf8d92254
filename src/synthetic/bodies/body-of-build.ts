import { type Segment, SKILLED_BODY, type SwingBody } from '../mechanics/index.ts';

/** Height of the golfer whose body is SKILLED_BODY: the one at which the proportions below give its trail arm. */
export const REFERENCE_HEIGHT_M = 1.77;

/** A golfer's size against the reference: lengths and masses as multiples. */
export interface Build {
  readonly arms: number;
  readonly girdle: number;
  readonly mass: number;
}

/**
 * The reference body in another size; the club stays as it is. Lengths grow with height, masses with its square and the build, moments
 * and inertias as they must. So a golfer of height H has an upper arm of 0.186 H and 0.200 H from elbow to grip (forearm 0.146 H and half
 * a hand of 0.108 H).
 * Source of the proportions: Drillis and Contini (1966), as drawn in Winter, Biomechanics and Motor Control of Human Movement; from
 * memory. That they scale evenly is a design assumption.
 *
 * @example
 * // Arms a tenth longer, everything a tenth heavier: first moment x 1.1^2, inertia x 1.1^3
 * bodyOfBuild({ arms: 1.1, girdle: 1, mass: 1.1 }).leadArm
 * // { length_m: 0.682, mass_kg: 8.03, firstMoment_kg_m: 2.73823, inertia_kg_m2: 1.53065 }
 */
export function bodyOfBuild({ arms, girdle, mass }: Build): SwingBody {
  const arm = SKILLED_BODY.trailArm;
  return {
    ...SKILLED_BODY,
    trunk: scaled(SKILLED_BODY.trunk, girdle, mass),
    leadArm: scaled(SKILLED_BODY.leadArm, arms, mass),
    trailArm: {
      ...arm,
      shoulderRadius_m: arm.shoulderRadius_m * girdle,
      shoulderOffset_m: arm.shoulderOffset_m * girdle,
      upperArm_m: arm.upperArm_m * arms,
      elbowToGrip_m: arm.elbowToGrip_m * arms,
      ...(arm.give === undefined
        ? {}
        : { give: { ...arm.give, rest_m: arm.give.rest_m * arms, softness_m: arm.give.softness_m * arms } }),
    },
  };
}

function scaled(segment: Segment, length: number, mass: number): Segment {
  return {
    length_m: segment.length_m * length,
    mass_kg: segment.mass_kg * mass,
    firstMoment_kg_m: segment.firstMoment_kg_m * mass * length,
    inertia_kg_m2: segment.inertia_kg_m2 * mass * length ** 2,
  };
}
