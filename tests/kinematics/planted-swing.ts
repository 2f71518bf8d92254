/**
 * A swing whose every position is a closed formula of time, so that its instants and angles are known without any
 * of the code under test: a lead arm and a club that turn in a plane inclined to the ground about a fixed
 * hub, and a trail arm whose flexion is planted.
 */

export type Point = [number, number, number];

export interface PlantedSwing {
  readonly landmarks: readonly string[];
  /** Position at t seconds from impact, m, lab axes (X to the target, Y up, Z from golfer to ball). */
  position(landmark: string, t: number): Point;
  readonly ball: Point;
}

export interface Planted {
  /** Inclination of the swing plane from the ground, deg. */
  readonly inclination?: number;
  /** Share of its speed that the head loses at contact. */
  readonly contactLoss?: number;
}

const ARM = 0.62;
const CLUB = 0.9;
const UPPER_ARM = 0.3;
const FOREARM = 0.27;

/** A smooth step from 0 to 1 about `at`, of width w. */
const step = (t: number, at: number, w: number): number => 0.5 * (1 + Math.tanh((t - at) / w));

/** Angle of the lead arm in the plane from straight down, rad, + toward the target. */
const armAngle = (t: number): number => -2 * step(t, -0.75, 0.16) + 3.6 * step(t, -0.04, 0.13) - 0.02;
/** The same for the shaft: it lags behind the arm and overtakes it. */
const shaftAngle = (t: number): number => -3.55 * step(t, -0.72, 0.16) + 6.6 * step(t, -0.0045, 0.075) - 0.02;

export function plantSwing({ inclination = 60, contactLoss = 0 }: Planted = {}): PlantedSwing {
  const eta = (inclination * Math.PI) / 180;
  // Down the slope of the plane, from the hub to the ball.
  const down: Point = [0, -Math.sin(eta), Math.cos(eta)];
  const hub: Point = [-0.05, 1.4, -0.1];
  const inPlane = (from: Point, angle: number, length: number): Point => [
    from[0] + length * Math.sin(angle),
    from[1] + length * Math.cos(angle) * down[1],
    from[2] + length * Math.cos(angle) * down[2],
  ];
  const grip = (t: number): Point => inPlane(hub, armAngle(t), ARM);
  const trailWrist = (t: number): Point => inPlane(grip(t), shaftAngle(t), 0.07);
  const head = (t: number): Point => inPlane(grip(t), shaftAngle(t), CLUB);
  const headWithContact = (t: number): Point => {
    if (t <= 0 || contactLoss === 0) return head(t);
    // After contact the head keeps a share of its way; the rest of the club is taken to bend with it.
    const [at, now] = [head(0), head(t)];
    const lost = contactLoss * Math.exp(-t / 0.02);
    return [0, 1, 2].map((k) => at[k]! + (now[k]! - at[k]!) * (1 - lost)) as Point;
  };
  const positions: Record<string, (t: number) => Point> = {
    lead_shoulder: () => hub,
    lead_elbow: (t) => inPlane(hub, armAngle(t), 0.5 * ARM),
    lead_wrist: (t) => inPlane(hub, armAngle(t), 0.95 * ARM),
    trail_shoulder: (t) => trailArm(trailWrist(t), t).shoulder,
    trail_elbow: (t) => trailArm(trailWrist(t), t).elbow,
    trail_wrist: trailWrist,
    lead_hip: (t) => hipAt(t, 1),
    trail_hip: (t) => hipAt(t, -1),
    grip,
    club_head: headWithContact,
  };
  return {
    landmarks: Object.keys(positions),
    position: (landmark, t) => positions[landmark]!(t),
    ball: head(0),
  };
}

/** Turn of the hip line, deg, + = open: -40 at the top, +35 at impact. */
export const plantedHipTurn = (t: number): number =>
  -40 * step(t, -0.75, 0.16) + (75 * step(t, -0.1, 0.1)) / step(0, -0.1, 0.1);

function hipAt(t: number, side: 1 | -1): Point {
  const turn = (plantedHipTurn(t) * Math.PI) / 180;
  return [-0.15 + side * 0.12 * Math.cos(turn), 0.95, -0.25 - side * 0.12 * Math.sin(turn)];
}

/** Elbow and shoulder up from the wrist, bent by the planted flexion in a plane that slowly turns. */
function trailArm(wrist: Point, t: number): { readonly elbow: Point; readonly shoulder: Point } {
  const a = 0.6 + 0.5 * step(t, -0.3, 0.2);
  const e1: Point = [-Math.sin(a) * 0.6, Math.cos(a), -Math.sin(a) * 0.8];
  const e2: Point = [-Math.cos(a) * 0.6, -Math.sin(a), -Math.cos(a) * 0.8];
  const f = (plantedFlexion(t) * Math.PI) / 180;
  const elbow = [0, 1, 2].map((k) => wrist[k]! + FOREARM * e1[k]!) as Point;
  const shoulder = [0, 1, 2].map(
    (k) => elbow[k]! + UPPER_ARM * (Math.cos(f) * e1[k]! + Math.sin(f) * e2[k]!),
  ) as Point;
  return { elbow, shoulder };
}

/** Trail elbow flexion, deg: bent in the backswing, a little more after the top, then straightened. */
export const plantedFlexion = (t: number): number =>
  18 +
  74 * step(t, -0.75, 0.15) +
  5 * Math.exp(-(((t + 0.2) / 0.06) ** 2)) -
  82 * step(t, -0.01, 0.055) +
  40 * step(t, 0.35, 0.08);

/** Lag angle, deg: forearm and shaft lie in one plane, so it is the difference of their angles. */
export const plantedLag = (t: number): number => Math.abs(((armAngle(t) - shaftAngle(t)) * 180) / Math.PI);

/** Shaft lean in the target plane, deg: tan(lean) = -tan(shaft angle) / sin(inclination). */
export const plantedLean = (t: number, inclination = 60): number =>
  (Math.atan2(-Math.sin(shaftAngle(t)), Math.cos(shaftAngle(t)) * Math.sin((inclination * Math.PI) / 180)) *
    180) /
  Math.PI;

/** Moments known from the angles themselves, by bisection: s from impact. */
export const plantedMoments = {
  /** The shaft turns round where its angle stops falling. */
  top: bisect((t) => (shaftAngle(t + 1e-6) - shaftAngle(t - 1e-6)) / 2e-6, -0.5, -0.15),
  'lead arm parallel': bisect((t) => armAngle(t) + Math.PI / 2, -0.3, 0),
  delivery: bisect((t) => shaftAngle(t) + Math.PI / 2, -0.2, 0),
};

export function bisect(f: (t: number) => number, low: number, high: number): number {
  let [a, b] = [low, high];
  const rising = f(b) > f(a);
  for (let i = 0; i < 200; i++) {
    const middle = (a + b) / 2;
    if (f(middle) > 0 === rising) b = middle;
    else a = middle;
  }
  return (a + b) / 2;
}

const STEP_S = 1e-5;

const slopeOf = (f: (t: number) => number, t: number): number => (f(t + 1e-6) - f(t - 1e-6)) / 2e-6;

/** Speed of a landmark, m/s, and its velocity. */
export function plantedVelocity(swing: PlantedSwing, landmark: string, t: number): Point {
  const [a, b] = [swing.position(landmark, t - 1e-6), swing.position(landmark, t + 1e-6)];
  return [0, 1, 2].map((k) => (b[k]! - a[k]!) / 2e-6) as Point;
}

function largest(
  f: (t: number) => number,
  from: number,
  to: number,
): { readonly value: number; readonly at: number } {
  let best = { value: Number.NEGATIVE_INFINITY, at: from };
  for (let t = from; t <= to; t += STEP_S) if (f(t) > best.value) best = { value: f(t), at: t };
  return best;
}

/** Every metric column of the planted swing, from the formulas alone. */
export function plantedMetrics(swing: PlantedSwing, inclination = 60): Record<string, number> {
  const { top, delivery, 'lead arm parallel': arm } = plantedMoments;
  const flexionTop = plantedFlexion(top);
  const flexionPeak = largest(plantedFlexion, top, 0).value;
  const lagPeak = largest(plantedLag, top, 0);
  const release = bisect((t) => plantedLag(t) - 0.9 * lagPeak.value, lagPeak.at, 0);
  const onset = bisect((t) => plantedFlexion(t) - flexionTop + 5, -0.15, 0);
  const head = plantedVelocity(swing, 'club_head', -2e-6);
  const low = bisect((t) => plantedVelocity(swing, 'club_head', t)[1], -0.02, 0.02);
  return {
    trail_elbow_flexion_top_deg: flexionTop,
    trail_elbow_flexion_peak_deg: flexionPeak,
    trail_elbow_flexion_arm_parallel_deg: plantedFlexion(arm),
    trail_elbow_flexion_impact_deg: plantedFlexion(0),
    elbow_recoil_deg: flexionPeak - flexionTop,
    transition_elbow_change_deg: plantedFlexion(arm) - flexionTop,
    elbow_extension_onset_ms: (onset - top) * 1000,
    elbow_extension_speed_peak_dps: largest((t) => -slopeOf(plantedFlexion, t), top, 0).value,
    lag_top_deg: plantedLag(top),
    lag_peak_deg: lagPeak.value,
    lag_delivery_deg: plantedLag(delivery),
    lag_impact_deg: plantedLag(0),
    release_onset_ms: -release * 1000,
    release_timing_pct: (100 * (release - top)) / -top,
    shaft_lean_impact_deg: plantedLean(0, inclination),
    pelvis_turn_impact_deg: plantedHipTurn(0),
    downswing_ms: -top * 1000,
    hand_speed_peak_mps: largest((t) => Math.hypot(...plantedVelocity(swing, 'grip', t)), top, 0).value,
    club_speed_mps: Math.hypot(...head),
    attack_angle_deg: (Math.atan2(head[1], Math.hypot(head[0], head[2])) * 180) / Math.PI,
    low_point_cm: 100 * (swing.position('club_head', low)[0] - swing.ball[0]),
  };
}
