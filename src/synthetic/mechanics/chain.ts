/**
 * Segments that hang on one another in a plane, driven at each joint; segment 0 turns about the hub.
 *
 * Coordinates: psi_i, the angle of segment i from the downward line of the plane, positive toward the target, so its far end
 * lies at L_i (sin psi_i, -cos psi_i) from its near end. For segment i with mass m_i, centre at c_i and inertia I_i about its near
 * end (S_i = m_i c_i), and with b(i) = the mass of all segments beyond i:
 *
 *     w_i  = S_i + L_i b(i)                 first moment of i and of what hangs on its end
 *     M_ii = I_i + L_i^2 b(i),   M_ij = L_i w_j   (i < j)
 *     T = 1/2 sum_ij M_ij cos(psi_i - psi_j) psi_i' psi_j',   V = -g' sum_i w_i cos psi_i
 *
 * where g' = g sin(inclination) is gravity along the plane. Lagrange's equations:
 *
 *     sum_j M_ij (cos(psi_i - psi_j) psi_j'' + sin(psi_i - psi_j) psi_j'^2) + g' w_i sin psi_i = tau_i - tau_(i+1)
 *
 * with tau_i the torque at the near joint of segment i: it acts on i forward and on i - 1 backward.
 * M_ij = L_i w_j holds because all that hangs beyond i moves with the end of i.
 */
export interface Segment {
  readonly length_m: number;
  readonly mass_kg: number;
  /** Mass times distance of the centre from the near end. */
  readonly firstMoment_kg_m: number;
  /** About the near end. */
  readonly inertia_kg_m2: number;
}

/**
 * What a joint does by itself at the end of its range: nothing until the angle of segment `joint` against the one before it falls
 * below `angle_rad`, then a moment that pushes back with stiffness x depth^2 x (1 + damping x speed of going deeper), never pulling.
 * Source of the form: Hunt and Crossley (1975), Journal of Applied Mechanics 42, 440-445.
 */
export interface JointLimit {
  readonly joint: number;
  readonly angle_rad: number;
  readonly stiffness_Nm_rad2: number;
  readonly damping_s_rad: number;
}

/** A chain of rigid segments in a plane: its equations of motion and energies (SI units, angles in rad). */
export interface Chain {
  readonly segments: number;
  /**
   * Writes the rates of a state: the angles, the angular speeds, and the work of all joint moments. `torques` has one for each joint;
   * the first `held` segments do not move.
   */
  readonly rates: (state: Float64Array, torques: Float64Array, held: number, rates: Float64Array) => void;
  readonly kinetic: (state: Float64Array) => number;
  readonly potential: (state: Float64Array) => number;
}

/**
 * The equations of a chain, ready to be followed in time.
 *
 * @param gravity_m_s2 along the plane
 * @throws Error on a segment whose inertia is smaller than mass and centre allow, or which is not positive
 * @example
 * // A point of 1 kg at the end of 1 m, held level and let go: -g / L
 * const chain = createChain([{ length_m: 1, mass_kg: 1, firstMoment_kg_m: 1, inertia_kg_m2: 1 }], 9.81);
 * const rates = new Float64Array(3);
 * chain.rates(Float64Array.of(Math.PI / 2, 0, 0), Float64Array.of(0), 0, rates);
 * rates // [0, -9.81, 0]
 */
export function createChain(
  segments: readonly Segment[],
  gravity_m_s2: number,
  limits: readonly JointLimit[] = [],
): Chain {
  checkSegments(segments);
  const n = segments.length;
  const beyond = segments.map((_, i) => segments.slice(i + 1).reduce((sum, s) => sum + s.mass_kg, 0));
  const moment = segments.map((s, i) => s.firstMoment_kg_m + s.length_m * beyond[i]!);
  const mass = Float64Array.from({ length: n * n }, (_, at) => {
    const [i, j] = [Math.floor(at / n), at % n];
    const near = segments[Math.min(i, j)]!;
    if (i === j) return near.inertia_kg_m2 + near.length_m ** 2 * beyond[i]!;
    return near.length_m * moment[Math.max(i, j)]!;
  });
  const system = new Float64Array(n * n);
  const forces = new Float64Array(n);
  const sines = new Float64Array(n);
  const cosines = new Float64Array(n);

  const rates: Chain['rates'] = (state, torques, held, into) => {
    let power = 0;
    for (let i = 0; i < n; i++) {
      sines[i] = Math.sin(state[i]!);
      cosines[i] = Math.cos(state[i]!);
      forces[i] = -gravity_m_s2 * moment[i]! * sines[i]!;
    }
    for (let i = 0; i < n; i++) {
      let torque = torques[i]!;
      for (let k = 0; k < limits.length; k++) {
        const limit = limits[k]!;
        if (limit.joint === i) torque += limitMoment(limit, state, n);
      }
      forces[i]! += torque;
      if (i > 0) forces[i - 1]! -= torque;
      power += torque * (state[n + i]! - (i > 0 ? state[n + i - 1]! : 0));
    }
    // cos(a - b) and sin(a - b) from the sines and cosines of a and b: six of them instead of twice one for each pair.
    for (let i = 0; i < n; i++) {
      system[i * n + i] = mass[i * n + i]!;
      for (let j = i + 1; j < n; j++) {
        const shared = mass[i * n + j]!;
        const coupled = shared * (cosines[i]! * cosines[j]! + sines[i]! * sines[j]!);
        const turning = shared * (sines[i]! * cosines[j]! - cosines[i]! * sines[j]!);
        system[i * n + j] = coupled;
        system[j * n + i] = coupled;
        forces[i]! -= turning * state[n + j]! * state[n + j]!;
        forces[j]! += turning * state[n + i]! * state[n + i]!;
      }
    }
    solveSymmetric(system, forces, n, held);
    for (let i = 0; i < n; i++) {
      into[i] = i < held ? 0 : state[n + i]!;
      into[n + i] = i < held ? 0 : forces[i]!;
    }
    into[2 * n] = power;
  };
  const kinetic = (state: Float64Array): number => {
    let sum = 0;
    for (let i = 0; i < n; i++)
      for (let j = 0; j < n; j++)
        sum += mass[i * n + j]! * Math.cos(state[i]! - state[j]!) * state[n + i]! * state[n + j]!;
    return sum / 2;
  };
  const potential = (state: Float64Array): number =>
    -gravity_m_s2 * moment.reduce((sum, w, i) => sum + w * Math.cos(state[i]!), 0);
  return { segments: n, rates, kinetic, potential };
}

function limitMoment(limit: JointLimit, state: Float64Array, n: number): number {
  const { joint, angle_rad, stiffness_Nm_rad2, damping_s_rad } = limit;
  const near = joint > 0 ? state[joint - 1]! : 0;
  const depth = angle_rad - (state[joint]! - near);
  if (depth <= 0) return 0;
  const opening = state[n + joint]! - (joint > 0 ? state[n + joint - 1]! : 0);
  return Math.max(0, stiffness_Nm_rad2 * depth * depth * (1 - damping_s_rad * opening));
}

/** Solves for the elements from `first` on, in place: elimination without pivoting, safe since the matrix is positive definite. */
function solveSymmetric(a: Float64Array, b: Float64Array, n: number, first: number): void {
  for (let k = first; k < n; k++)
    for (let i = k + 1; i < n; i++) {
      const factor = a[i * n + k]! / a[k * n + k]!;
      for (let j = k; j < n; j++) a[i * n + j]! -= factor * a[k * n + j]!;
      b[i]! -= factor * b[k]!;
    }
  for (let i = n - 1; i >= first; i--) {
    for (let j = i + 1; j < n; j++) b[i]! -= a[i * n + j]! * b[j]!;
    b[i]! /= a[i * n + i]!;
  }
}

function checkSegments(segments: readonly Segment[]): void {
  segments.forEach((s, i) => {
    if (!(s.length_m > 0 && s.mass_kg > 0 && s.inertia_kg_m2 > 0 && Number.isFinite(s.firstMoment_kg_m)))
      throw new Error(
        `createChain: segment ${i} needs length, mass and inertia above 0 and a finite first moment.`,
      );
    const least = s.firstMoment_kg_m ** 2 / s.mass_kg;
    if (s.inertia_kg_m2 < least)
      throw new Error(
        `createChain: segment ${i} has an inertia of ${s.inertia_kg_m2} kg m2 about its near end, but its mass and centre alone make ${least}; was the inertia about the centre given?`,
      );
  });
}
