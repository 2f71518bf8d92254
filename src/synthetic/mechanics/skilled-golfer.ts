import type { SwingBody } from './swing-body.ts';
import type { SwingTimings } from './swing-timings.ts';
import type { Torque } from './torque.ts';

const RAD = Math.PI / 180;

/**
 * A skilled golfer with an iron. Lead arm (length, mass, centre, inertia: both arms in one): Jorgensen (1999), The Physics of Golf,
 * technical appendix, as reproduced in Bourg (2002), ch. 19. Everything else is a design assumption: the club that of the iron-like
 * pendulum, the rest found by search so that the outcome lies within what is published of skilled golfers and what teachers
 * commonly say of their trail elbow. None of it was measured on anyone.
 */
export const SKILLED_BODY: SwingBody = {
  trunk: { length_m: 0.186, mass_kg: 20, firstMoment_kg_m: 0, inertia_kg_m2: 1.54 },
  leadArm: { length_m: 0.62, mass_kg: 7.3, firstMoment_kg_m: 7.3 * 0.31, inertia_kg_m2: 1.15 },
  club: { length_m: 0.9, mass_kg: 0.42, firstMoment_kg_m: 0.42 * 0.66, inertia_kg_m2: 0.245 },
  trailArm: {
    shoulderRadius_m: 0.167,
    shoulderAngle_rad: 166.3 * RAD,
    shoulderOffset_m: 0.095,
    upperArm_m: 0.316,
    elbowToGrip_m: 0.361,
    handGap_m: 0.063,
  },
  planeInclination_deg: 63,
  ballAhead_m: 0.096,
  topTrunk_deg: -7,
  topLeadArm_deg: -125.5,
  topLag_deg: 84.5,
  limits: [
    { joint: 1, angle_rad: -125.3 * RAD, stiffness_Nm_rad2: 2300, damping_s_rad: 1.36 },
    { joint: 2, angle_rad: -97 * RAD, stiffness_Nm_rad2: 2280, damping_s_rad: 0.46 },
  ],
  straightElbow_deg: 8,
};

const LASTING = { end_s: Number.POSITIVE_INFINITY, fall_s: 0 } as const;
const TRUNK: Torque = { size_Nm: 200, onset_s: 0, rise_s: 0.112, end_s: 0.255, fall_s: 0.03 };
const SHOULDER: Torque = { size_Nm: 69, onset_s: 0.041, rise_s: 0.031, ...LASTING };
const WRIST: Torque = { size_Nm: 22, onset_s: 0.084, rise_s: 0.025, ...LASTING };

/** Trunk first, then shoulder, then wrist. Design assumption. */
export const SKILLED_TIMINGS: SwingTimings = { trunk: [TRUNK], shoulder: [SHOULDER], wrist: [WRIST] };

/** The lead arm is driven off the chest and the wrist let go sooner. Design assumption. */
export const OPENS_EARLY_TIMINGS: SwingTimings = {
  trunk: [TRUNK],
  shoulder: [{ ...SHOULDER, onset_s: 0.038 }],
  wrist: [{ ...WRIST, onset_s: 0.065 }],
};

/** The lead arm stays on the chest longer, so the trail elbow stays bent. Design assumption. */
export const HOLDS_TIMINGS: SwingTimings = { ...SKILLED_TIMINGS, shoulder: [{ ...SHOULDER, onset_s: 0.06 }] };

/** The arm is pressed onto the chest first, which drives the trail elbow in, and driven off it after. Design assumption. */
export const DRIVES_ELBOW_IN_TIMINGS: SwingTimings = {
  ...SKILLED_TIMINGS,
  shoulder: [
    { size_Nm: -20, onset_s: 0, rise_s: 0.02, end_s: 0.05, fall_s: 0.02 },
    { ...SHOULDER, onset_s: 0.05 },
  ],
};
