import { type PlantedSwing, type Point, plantSwing } from './planted-swing.ts';

/**
 * The planted swing with the landmarks of the ISB frames: a rib cage and a pelvis that turn as planted while they keep
 * a bend and a tilt, and an arm whose epicondyles lie along its hinge, so that the ISB flexion is the planted one.
 */
export function plantBody(): PlantedSwing {
  const swing = plantSwing();
  const thorax = {
    px: [0.1, -0.02, 0.01],
    t8: [-0.1, 0.02, -0.01],
    ij: [0.06, 0.27, 0],
    c7: [-0.06, 0.23, 0],
  };
  const pelvis = {
    trail_asis: [0, 0, 0.12],
    lead_asis: [0, 0, -0.12],
    trail_psis: [-0.15, 0.01, 0.05],
    lead_psis: [-0.15, -0.01, -0.04],
  };
  const positions: Record<string, (t: number) => Point> = {};
  for (const [name, local] of Object.entries(thorax))
    positions[name] = (t) => trunkPoint(plantedThoraxTurn(t), [-0.05, 1.1, -0.2], local as Point);
  for (const [name, local] of Object.entries(pelvis))
    positions[name] = (t) => trunkPoint(plantedPelvisTurn(t), [-0.1, 0.95, -0.25], local as Point);
  const along = (axis: (t: number) => Point, from: string, by: number) => (t: number) => {
    const [p, a] = [swing.position(from, t), axis(t)];
    return [0, 1, 2].map((k) => p[k]! + by * a[k]!) as Point;
  };
  const hinge = (t: number): Point => hingeOf(swing, t);
  positions.trail_lateral_epicondyle = along(hinge, 'trail_elbow', 0.035);
  positions.trail_medial_epicondyle = along(hinge, 'trail_elbow', -0.035);
  // On the lines of forearm and upper arm, a little beyond the wrist and short of the shoulder.
  const forearm = (t: number): Point => between(swing, 'trail_elbow', 'trail_wrist', t);
  const upperArm = (t: number): Point => between(swing, 'trail_shoulder', 'trail_elbow', t);
  positions.trail_ulnar_styloid = along(forearm, 'trail_wrist', 0.05);
  positions.trail_radial_styloid = along(hinge, 'trail_wrist', 0.05);
  positions.trail_shoulder_centre = along(upperArm, 'trail_shoulder', 0.05);
  return {
    landmarks: [...swing.landmarks, ...Object.keys(positions)],
    position: (landmark, t) => positions[landmark]?.(t) ?? swing.position(landmark, t),
    ball: swing.ball,
  };
}

const step = (t: number, at: number, w: number): number => 0.5 * (1 + Math.tanh((t - at) / w));

/** Turns about the vertical, deg, + = open. */
export const plantedThoraxTurn = (t: number): number =>
  -85 * step(t, -0.75, 0.16) + 110 * step(t, -0.1, 0.12);
export const plantedPelvisTurn = (t: number): number => -42 * step(t, -0.75, 0.16) + 80 * step(t, -0.12, 0.1);

/** Forward bend and side tilt that the turn must not be mistaken for, deg. */
const [BEND, TILT] = [-35, 12];
const RAD = Math.PI / 180;

/** A point of a trunk segment: turned about Y, then x, then z of the body, which faces the ball (x to Z, z to -X). */
function trunkPoint(turn: number, origin: Point, [x, y, z]: Point): Point {
  const [a, b, c] = [turn * RAD, TILT * RAD, BEND * RAD];
  const p1: Point = [x * Math.cos(c) - y * Math.sin(c), x * Math.sin(c) + y * Math.cos(c), z];
  const p2: Point = [
    p1[0],
    p1[1] * Math.cos(b) - p1[2] * Math.sin(b),
    p1[1] * Math.sin(b) + p1[2] * Math.cos(b),
  ];
  const p3: Point = [
    p2[0] * Math.cos(a) + p2[2] * Math.sin(a),
    p2[1],
    -p2[0] * Math.sin(a) + p2[2] * Math.cos(a),
  ];
  return [origin[0] - p3[2], origin[1] + p3[1], origin[2] + p3[0]];
}

/** From one landmark to another as they are, m. */
function between(swing: PlantedSwing, from: string, to: string, t: number): Point {
  const [a, b] = [swing.position(from, t), swing.position(to, t)];
  return [b[0] - a[0], b[1] - a[1], b[2] - a[2]];
}

/** The direction about which the arm bends, to the side where the epicondyle is lateral. */
function hingeOf(swing: PlantedSwing, t: number): Point {
  const u = between(swing, 'trail_elbow', 'trail_shoulder', t);
  const v = between(swing, 'trail_wrist', 'trail_elbow', t);
  const n: Point = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
  const length = Math.hypot(...n);
  return [n[0] / length, n[1] / length, n[2] / length];
}
