/**
 * A torque in the course of a swing: nothing until its onset, then a rise along s^2 (3 - 2 s), a level, and from its
 * end on a fall of the same shape. Rise or fall of zero length is a jump.
 */
export interface Torque {
  /** The level, in N m; positive turns the farther segment toward the target. */
  readonly size_Nm: number;
  readonly onset_s: number;
  readonly rise_s: number;
  /** Where the fall begins; infinite where the torque lasts. */
  readonly end_s: number;
  readonly fall_s: number;
}

/**
 * A torque (N m) that is there from the start and stays.
 * @example torqueAt(steadyTorque(100), 0.2, 0.2) // 100
 */
export function steadyTorque(size_Nm: number): Torque {
  return { size_Nm, onset_s: 0, rise_s: 0, end_s: Number.POSITIVE_INFINITY, fall_s: 0 };
}

/**
 * What is wrong with a torque, in words; null where nothing is.
 *
 * @example torqueProblem(steadyTorque(100)) // null
 * @example torqueProblem({ ...steadyTorque(100), onset_s: 0.2, end_s: 0.1 }) // 'the end must not come before the rise is over'
 */
export function torqueProblem(torque: Torque): string | null {
  const { size_Nm, onset_s, rise_s, end_s, fall_s } = torque;
  if (![size_Nm, onset_s, rise_s, fall_s].every(Number.isFinite))
    return 'size, onset, rise and fall must be finite';
  if (onset_s < 0 || rise_s < 0 || fall_s < 0) return 'onset, rise and fall must not be negative';
  if (!(end_s >= onset_s + rise_s)) return 'the end must not come before the rise is over';
  return null;
}

/**
 * The times (s), ascending and without repeats, strictly between 0 and `until`, at which any of the torques is not smooth.
 * @example torqueBreaks([{ size_Nm: 100, onset_s: 0, rise_s: 0.1, end_s: 0.3, fall_s: 0.1 }], 0.35) // [0.1, 0.3]
 */
export function torqueBreaks(torques: readonly Torque[], until: number): number[] {
  const all = torques.flatMap(({ onset_s, rise_s, end_s, fall_s }) => [
    onset_s,
    onset_s + rise_s,
    end_s,
    end_s + fall_s,
  ]);
  return [...new Set(all)].filter((t) => t > 0 && t < until).sort((a, b) => a - b);
}

/**
 * The torque at a time, in N m, as it is in the smooth piece around the time `inside`: so a jump has a value to its
 * left and one to its right.
 *
 * @example torqueAt({ size_Nm: 100, onset_s: 0, rise_s: 0.1, end_s: 1, fall_s: 0 }, 0.05, 0.05) // 50
 */
export function torqueAt(torque: Torque, time: number, inside: number): number {
  const { size_Nm, onset_s, rise_s, end_s, fall_s } = torque;
  if (inside < onset_s || inside > end_s + fall_s) return 0;
  if (inside < onset_s + rise_s) return size_Nm * eased((time - onset_s) / rise_s);
  if (inside < end_s) return size_Nm;
  return size_Nm * eased((end_s + fall_s - time) / fall_s);
}

/** The sum of several torques at a time, as in torqueAt. */
export function torquesAt(torques: readonly Torque[], time: number, inside: number): number {
  let sum = 0;
  for (let k = 0; k < torques.length; k++) sum += torqueAt(torques[k]!, time, inside);
  return sum;
}

/** A time within each smooth piece that the breaks cut the span into. */
export function pieceMiddles(breaks: readonly number[], from: number, to: number): number[] {
  const corners = [from, ...breaks, to];
  return corners.slice(1).map((corner, k) => (corner + corners[k]!) / 2);
}

function eased(s: number): number {
  return s * s * (3 - 2 * s);
}
