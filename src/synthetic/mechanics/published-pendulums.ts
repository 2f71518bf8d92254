import type { DoublePendulum } from './double-pendulum.ts';
import type { PendulumSwing } from './swing-double-pendulum.ts';
import { steadyTorque } from './torque.ts';

const JORGENSEN_GRAVITY = 9.8;

/**
 * A double pendulum as it was published, to check the equations by.
 *
 * Source: Jorgensen (1999), The Physics of Golf, 2nd ed., technical appendix, as reproduced in Bourg (2002), Physics for
 * Game Developers, ch. 19: arm 7.3 kg balanced at half its length, club 0.4 kg balanced at three quarters of its length.
 * The club's inertia of 0.08 is smaller than mass times squared distance of its centre, 0.272, so it cannot be the inertia about
 * the wrist for which the equations use it: a run with these numbers checks the equations and says nothing of real clubs.
 */
export const JORGENSEN_PENDULUM: DoublePendulum = {
  armLength_m: 0.62,
  armInertia_kg_m2: 1.15,
  armFirstMoment_kg_m: 7.3 * 0.62 * 0.5,
  clubMass_kg: 0.4,
  clubLength_m: 1.1,
  clubFirstMoment_kg_m: 0.4 * 1.1 * 0.75,
  clubInertia_kg_m2: 0.08,
  gravity_m_s2: JORGENSEN_GRAVITY,
  hubAcceleration_m_s2: 0.1 * JORGENSEN_GRAVITY,
};

/** The swing of the same source: a wrist torque of -10 N m for the first 0.1 s, which in this sign lessens the cock. */
export const JORGENSEN_SWING: PendulumSwing = {
  startArm_deg: 135,
  startCock_deg: 120,
  hub: steadyTorque(100),
  wrist: { ...steadyTorque(-10), end_s: 0.1 },
  wristStop: false,
  impactShaft_deg: 5,
  until_s: 1,
};

/**
 * A club like an iron on the same arm, with an inertia about the wrist that a club can have.
 * Design assumption, chosen with the check values that go with it.
 */
export const IRON_PENDULUM: DoublePendulum = {
  ...JORGENSEN_PENDULUM,
  clubMass_kg: 0.42,
  clubLength_m: 0.9,
  clubFirstMoment_kg_m: 0.42 * 0.66,
  clubInertia_kg_m2: 0.245,
  hubAcceleration_m_s2: 0,
};

/** From rest at a right angle, the wrist on its stop until the club pulls it off. */
export const IRON_SWING: PendulumSwing = {
  startArm_deg: 135,
  startCock_deg: 90,
  hub: steadyTorque(100),
  wrist: steadyTorque(0),
  wristStop: true,
  impactShaft_deg: 0,
  until_s: 2,
};
