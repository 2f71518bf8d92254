/**
 * Arm and club as a double pendulum that is driven at the hub and at the wrist, in one plane.
 *
 * Coordinates: alpha, how far the arm has swung from its start; theta = gamma - alpha, the arm from the downward vertical
 * (positive behind the ball); beta, the angle between club and the arm's prolongation (0 = in line, positive = cocked);
 * phi = theta + beta, the club from the downward vertical.
 *
 * With A = J + Jc + M R^2 + 2 R S cos b, B = -(Jc + R S cos b), D = Jc, the Lagrangian gives
 *
 *     A a'' + B b'' = F = Qa - (b'^2 - 2 a' b') R S sin b + S (g sin phi - ac cos phi) + (SA + M R)(g sin theta - ac cos theta)
 *     B a'' + D b'' = G = Qb - a'^2 R S sin b - S (g sin phi - ac cos phi)
 *
 * While the wrist rests on its stop b' = b'' = 0, a'' = F / A, and the stop adds B a'' - G to the wrist; a stop can only
 * push the cock open, so the club leaves it when that moment reaches zero from below.
 * Kinetic energy is (A a'^2 + 2 B a' b' + D b'^2) / 2; a steady acceleration of the hub is a second, sideways, gravity.
 *
 * Source: Jorgensen (1999), The Physics of Golf, 2nd ed., technical appendix, as reproduced in Bourg (2002), Physics for
 * Game Developers, ch. 19.
 */
export interface DoublePendulum {
  /** R: hub to wrist. */
  readonly armLength_m: number;
  /** J: arm about the hub. */
  readonly armInertia_kg_m2: number;
  /** SA: mass of the arm times the distance of its centre from the hub. */
  readonly armFirstMoment_kg_m: number;
  /** M. */
  readonly clubMass_kg: number;
  /** L: wrist to head. */
  readonly clubLength_m: number;
  /** S: mass of the club times the distance of its centre from the wrist. */
  readonly clubFirstMoment_kg_m: number;
  /** Jc: club about the wrist. */
  readonly clubInertia_kg_m2: number;
  /** g, along the plane of the swing. */
  readonly gravity_m_s2: number;
  /** ac: of the hub, toward the target. */
  readonly hubAcceleration_m_s2: number;
}

/** Elements of the state: alpha, its rate, beta, its rate (rad, rad/s), and the work done by the torques (J). */
export const PENDULUM_STATE = 5;

/**
 * Writes the rates of the state under the torques at hub and wrist (N m).
 *
 * @param start gamma, in rad
 * @param state alpha, its rate, beta, its rate (rad, rad/s), and the work done (J); `rates` is in the same order, per second
 * @param stopped whether the wrist rests on its stop
 * @example
 * const pendulum = {
 *   armLength_m: 1, armInertia_kg_m2: 1, armFirstMoment_kg_m: 0.5, clubMass_kg: 1, clubLength_m: 1,
 *   clubFirstMoment_kg_m: 0.5, clubInertia_kg_m2: 1, gravity_m_s2: 0, hubAcceleration_m_s2: 0,
 * };
 * const rates = new Float64Array(5);
 * // In line and on its stop it turns as one body, of inertia J + Jc + M R^2 + 2 R S = 4
 * pendulumRates(pendulum, 0, new Float64Array(5), 8, 0, true, rates);
 * rates // [0, 2, 0, 0, 0]
 */
export function pendulumRates(
  pendulum: DoublePendulum,
  start: number,
  state: Float64Array,
  hubTorque: number,
  wristTorque: number,
  stopped: boolean,
  rates: Float64Array,
): void {
  const [speed, cockSpeed] = [state[1]!, state[3]!];
  const { a, b, d, f, g } = terms(pendulum, start, state, hubTorque, wristTorque);
  const determinant = a * d - b * b;
  rates[0] = speed;
  rates[1] = stopped ? f / a : (f * d - b * g) / determinant;
  rates[2] = stopped ? 0 : cockSpeed;
  rates[3] = stopped ? 0 : (a * g - b * f) / determinant;
  rates[4] = hubTorque * speed + wristTorque * cockSpeed;
}

/** The moment with which the stop holds the wrist (N m): negative while the club presses against it. */
export function stopMoment(
  pendulum: DoublePendulum,
  start: number,
  state: Float64Array,
  hubTorque: number,
  wristTorque: number,
): number {
  const { a, b, f, g } = terms(pendulum, start, state, hubTorque, wristTorque);
  return (b * f) / a - g;
}

/** Kinetic and potential energy together (J); the potential of the hanging pendulum at rest in line is the lowest. */
export function pendulumEnergy(pendulum: DoublePendulum, start: number, state: Float64Array): number {
  const { a, b, d } = terms(pendulum, start, state, 0, 0);
  const theta = start - state[0]!;
  const phi = theta + state[2]!;
  const kinetic = (a * state[1]! ** 2 + 2 * b * state[1]! * state[3]! + d * state[3]! ** 2) / 2;
  const { gravity_m_s2: gravity, hubAcceleration_m_s2: sideways } = pendulum;
  const swung = pendulum.armFirstMoment_kg_m + pendulum.clubMass_kg * pendulum.armLength_m;
  return (
    kinetic -
    pendulum.clubFirstMoment_kg_m * (gravity * Math.cos(phi) + sideways * Math.sin(phi)) -
    swung * (gravity * Math.cos(theta) + sideways * Math.sin(theta))
  );
}

/** Speed of the head against the hub (m/s). */
export function pendulumHeadSpeed(pendulum: DoublePendulum, state: Float64Array): number {
  const { armLength_m: r, clubLength_m: l } = pendulum;
  const [armSpeed, cockSpeed] = [state[1]!, state[3]!];
  const clubSpeed = armSpeed - cockSpeed;
  return Math.sqrt(
    (r * armSpeed) ** 2 + (l * clubSpeed) ** 2 + 2 * r * l * Math.cos(state[2]!) * armSpeed * clubSpeed,
  );
}

function terms(
  pendulum: DoublePendulum,
  start: number,
  state: Float64Array,
  hubTorque: number,
  wristTorque: number,
): { a: number; b: number; d: number; f: number; g: number } {
  const { armLength_m: r, clubFirstMoment_kg_m: s, clubInertia_kg_m2: jc, clubMass_kg: m } = pendulum;
  const { gravity_m_s2: gravity, hubAcceleration_m_s2: sideways } = pendulum;
  const [speed, cock, cockSpeed] = [state[1]!, state[2]!, state[3]!];
  const theta = start - state[0]!;
  const phi = theta + cock;
  const coupling = r * s * Math.cos(cock);
  const turning = r * s * Math.sin(cock);
  const clubPull = s * (gravity * Math.sin(phi) - sideways * Math.cos(phi));
  const armPull =
    (pendulum.armFirstMoment_kg_m + m * r) * (gravity * Math.sin(theta) - sideways * Math.cos(theta));
  return {
    a: pendulum.armInertia_kg_m2 + jc + m * r * r + 2 * coupling,
    b: -(jc + coupling),
    d: jc,
    f: hubTorque - (cockSpeed * cockSpeed - 2 * speed * cockSpeed) * turning + clubPull + armPull,
    g: wristTorque - speed * speed * turning - clubPull,
  };
}
