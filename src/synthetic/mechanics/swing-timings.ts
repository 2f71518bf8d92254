import type { BodyProblem } from './swing-body.ts';
import { type Torque, torqueProblem } from './torque.ts';

/** The torques of a downswing; time zero is where the mechanics begin, at rest. */
export interface SwingTimings {
  readonly trunk: readonly Torque[];
  readonly shoulder: readonly Torque[];
  readonly wrist: readonly Torque[];
}

/** The joints that a simulated golfer drives, from the ground up. */
export const DRIVEN_JOINTS = ['trunk', 'shoulder', 'wrist'] as const;
/** A joint that a simulated golfer drives. */
export type DrivenJoint = (typeof DRIVEN_JOINTS)[number];

/**
 * Everything that keeps timings from being some, all at once; empty where nothing does.
 *
 * @example timingProblems(SKILLED_TIMINGS) // []
 * @example
 * const timings = { ...SKILLED_TIMINGS, wrist: [{ ...steadyTorque(20), onset_s: -0.01 }] };
 * timingProblems(timings)[0] // { where: 'timings.wrist[0]', expected: 'onset, rise and fall must not be negative', ... }
 */
export function timingProblems(timings: SwingTimings): BodyProblem[] {
  return DRIVEN_JOINTS.flatMap((joint) =>
    timings[joint].flatMap((torque, k) => {
      const problem = torqueProblem(torque);
      if (problem === null) return [];
      const { size_Nm, onset_s, rise_s, end_s, fall_s } = torque;
      return {
        where: `timings.${joint}[${k}]`,
        found: `size ${size_Nm} N m, onset ${onset_s} s, rise ${rise_s} s, end ${end_s} s, fall ${fall_s} s`,
        expected: problem,
        remedy: 'Give times in seconds from the top, each at least as late as the one before it.',
      };
    }),
  );
}

/** How much later the torques of a joint begin, ms; negative = sooner. */
export interface TimingShift {
  readonly trunk_ms?: number;
  readonly shoulder_ms?: number;
  readonly wrist_ms?: number;
}

/**
 * Timings with the torques of a joint moved in time, their whole course with them. What would begin before the start begins there.
 * This is how a drill, a habit or chance changes a swing.
 *
 * @example
 * // The lead arm is driven off the chest 4 ms sooner
 * const sooner = applyTimingShift(SKILLED_TIMINGS, { shoulder_ms: -4 });
 * SKILLED_TIMINGS.shoulder[0]!.onset_s - sooner.shoulder[0]!.onset_s // 0.004
 */
export function applyTimingShift(timings: SwingTimings, shift: TimingShift): SwingTimings {
  return {
    trunk: moved(timings.trunk, shift.trunk_ms),
    shoulder: moved(timings.shoulder, shift.shoulder_ms),
    wrist: moved(timings.wrist, shift.wrist_ms),
  };
}

function moved(torques: readonly Torque[], by_ms = 0): readonly Torque[] {
  if (by_ms === 0) return torques;
  return torques.map((torque) => {
    const onset_s = Math.max(0, torque.onset_s + by_ms / 1000);
    return { ...torque, onset_s, end_s: Math.max(onset_s + torque.rise_s, torque.end_s + by_ms / 1000) };
  });
}

/**
 * Timings with every torque multiplied by a factor; the times stay.
 * @example scaleTorques({ trunk: [steadyTorque(180)], shoulder: [], wrist: [] }, 1.1).trunk[0]!.size_Nm // 198
 */
export function scaleTorques(timings: SwingTimings, factor: number): SwingTimings {
  return stretchTimings(timings, 1, factor);
}

/**
 * Timings stretched by a factor: every time is multiplied by it, every torque by `sizes`. With sizes divided by its square the
 * path would stay as it is (Jorgensen's invariant: without gravity twice the torque gives the same path in 1 / sqrt(2) of the time).
 *
 * @example
 * // The same path in twice the time, but for gravity
 * const push = { size_Nm: 100, onset_s: 0.1, rise_s: 0.05, end_s: 0.3, fall_s: 0.02 };
 * stretchTimings({ trunk: [push], shoulder: [], wrist: [] }, 2, 1 / 4).trunk
 * // [{ size_Nm: 25, onset_s: 0.2, rise_s: 0.1, end_s: 0.6, fall_s: 0.04 }]
 */
export function stretchTimings(timings: SwingTimings, factor: number, sizes: number): SwingTimings {
  const stretched = (torques: readonly Torque[]): readonly Torque[] =>
    torques.map(({ size_Nm, onset_s, rise_s, end_s, fall_s }) => ({
      size_Nm: size_Nm * sizes,
      onset_s: onset_s * factor,
      rise_s: rise_s * factor,
      end_s: end_s * factor,
      fall_s: fall_s * factor,
    }));
  return {
    trunk: stretched(timings.trunk),
    shoulder: stretched(timings.shoulder),
    wrist: stretched(timings.wrist),
  };
}
