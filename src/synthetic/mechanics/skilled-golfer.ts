import type { SwingBody } from './swing-body.ts';
import { applyTimingShift, type SwingTimings } from './swing-timings.ts';
import type { Torque } from './torque.ts';

const RAD = Math.PI / 180;

/**
 * A skilled golfer with an iron, 1.77 m tall. SKILLED_BODY_SOURCES (sources.ts) has for each number where it comes from: the lead arm (both
 * arms in one) is published, the lengths of the trail arm are published shares of height, and the rest is design assumption, found by
 * search so that the outcome lies within what is published of skilled golfers and what teachers commonly say of their trail elbow.
 * None of it was measured on anyone.
 */
export const SKILLED_BODY: SwingBody = {
  trunk: { length_m: 0.197, mass_kg: 20, firstMoment_kg_m: 0, inertia_kg_m2: 1.54 },
  leadArm: { length_m: 0.62, mass_kg: 7.3, firstMoment_kg_m: 7.3 * 0.31, inertia_kg_m2: 1.15 },
  club: { length_m: 0.9, mass_kg: 0.42, firstMoment_kg_m: 0.42 * 0.66, inertia_kg_m2: 0.245 },
  trailArm: {
    shoulderRadius_m: 0.1587,
    shoulderAngle_rad: 139.8 * RAD,
    shoulderOffset_m: 0,
    upperArm_m: 0.329,
    elbowToGrip_m: 0.354,
    handGap_m: 0.045,
    give: { share: 0.272, rest_m: 0.5, softness_m: 0.0187, most_m: 0.15 },
  },
  planeInclination_deg: 63,
  ballAhead_m: 0.157,
  topTrunk_deg: -10.2,
  topLeadArm_deg: -114.6,
  topLag_deg: 93.7,
  limits: [
    { joint: 1, angle_rad: -112.9 * RAD, stiffness_Nm_rad2: 5980, damping_s_rad: 1.36 },
    { joint: 2, angle_rad: -104.1 * RAD, stiffness_Nm_rad2: 5840, damping_s_rad: 0.46 },
  ],
  straightElbow_deg: 10,
};

const LASTING = { end_s: Number.POSITIVE_INFINITY, fall_s: 0 } as const;
const TRUNK: Torque = { size_Nm: 187.3, onset_s: 0, rise_s: 0.094, end_s: 0.2335, fall_s: 0.03 };
const SHOULDER: Torque = { size_Nm: 64.9, onset_s: 0.0381, rise_s: 0.01, ...LASTING };
const WRIST: Torque = { size_Nm: 18.6, onset_s: 0.0724, rise_s: 0.0325, ...LASTING };

/** Trunk first, then shoulder, then wrist. Design assumption. */
export const SKILLED_TIMINGS: SwingTimings = { trunk: [TRUNK], shoulder: [SHOULDER], wrist: [WRIST] };

/**
 * What follows changes one thing each against SKILLED_TIMINGS, so that a mechanism can be seen alone. That the elbow bends at most a
 * few degrees more after the top and has straightened by lead arm parallel is said of skilled golfers: it holds for SKILLED, for
 * EARLY_FROM_CHEST and for EARLY_WRIST and HOLDS_ANGLE, which leave the arm alone; it does not hold for HOLDS and
 * DRIVES_ELBOW_IN, whose elbow is still as bent as at the top, or more, when the lead arm is level. All are design assumptions.
 */
const EARLY_FROM_CHEST_MS = -15;
const EARLY_WRIST_MS = -20;

/** The lead arm is driven off the chest sooner; the wrist is as it was. */
export const EARLY_FROM_CHEST_TIMINGS = applyTimingShift(SKILLED_TIMINGS, {
  shoulder_ms: EARLY_FROM_CHEST_MS,
});

/** The wrist is let go sooner; the arm is as it was. */
export const EARLY_WRIST_TIMINGS = applyTimingShift(SKILLED_TIMINGS, { wrist_ms: EARLY_WRIST_MS });

/** Both at once: what is called opening early, and cannot tell the two apart. */
export const OPENS_EARLY_TIMINGS = applyTimingShift(SKILLED_TIMINGS, {
  shoulder_ms: EARLY_FROM_CHEST_MS,
  wrist_ms: EARLY_WRIST_MS,
});

/** The angle between arm and club is held on to: the wrist begins to push later. */
export const HOLDS_ANGLE_TIMINGS = applyTimingShift(SKILLED_TIMINGS, { wrist_ms: 20 });

/** The lead arm stays on the chest longer, so the trail elbow stays bent. */
export const HOLDS_TIMINGS = applyTimingShift(SKILLED_TIMINGS, { shoulder_ms: 15 });

/** The arm is pressed onto the chest first, which drives the trail elbow in, and driven off it after. */
export const DRIVES_ELBOW_IN_TIMINGS: SwingTimings = {
  ...SKILLED_TIMINGS,
  shoulder: [
    { size_Nm: -20, onset_s: 0, rise_s: 0.015, end_s: 0.03, fall_s: 0.015 },
    { ...SHOULDER, onset_s: 0.045 },
  ],
};
