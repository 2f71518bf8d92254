import type { SwingBody } from '../mechanics/index.ts';
import { pelvisTurn } from './pelvis-turn.ts';
import { loopOf, PLANE_STATE, planePoints } from './plane-state.ts';
import type { PlaneSwing } from './plane-swing.ts';

/** x, y, z in metres. */
export type Point = [number, number, number];

const RAD = Math.PI / 180;
/** Radius of a golf ball at the least diameter that the rules of golf allow, 42.67 mm. */
const BALL_RADIUS_M = 0.021335;
/** Where wrist joints lie up the forearm from the hold on the grip. Design assumption. */
const LEAD_WRIST_FROM_HOLD_M = 0.05;
const TRAIL_WRIST_FROM_HOLD_M = 0.075;
/** Share of the lead arm at which its elbow lies, and half the distance of the hip joints. Design assumption. */
const LEAD_ELBOW_AT = 0.52;
const HALF_HIPS_M = 0.09;
/** The middle of the hips against the hub: down, and away from the ball. Design assumption. */
const HIPS_BELOW_HUB_M = 0.48;
const HIPS_BEHIND_HUB_M = 0.12;
/** The way the trail elbow hangs: down, away from the target, toward the golfer. Never along the arm. Design assumption. */
const ELBOW_HANGS: Point = [-0.4, -1, -0.5];

/** The landmarks that the metrics are read from. */
export const LANDMARKS = [
  'lead_shoulder',
  'lead_elbow',
  'lead_wrist',
  'trail_shoulder',
  'trail_elbow',
  'trail_wrist',
  'lead_hip',
  'trail_hip',
  'grip',
  'club_head',
] as const;

/**
 * Markers that are stuck on a segment: along its axis from its first landmark (share of its length), and off the axis in and
 * out of the plane that the trail elbow bends in, or that the club swings in (m). With the landmarks of the segment they keep
 * their distances. Design assumption.
 */
const STUCK_ON = {
  trail_upper_arm: [
    [0.3, 0.05, 0.02],
    [0.5, -0.04, 0.04],
    [0.75, 0.03, -0.05],
  ],
  trail_forearm: [
    [0.25, 0.04, 0.03],
    [0.5, -0.035, 0.03],
    [0.8, 0.03, -0.03],
  ],
  club: [
    [0.35, 0.015, 0.03],
    [0.6, -0.03, 0.015],
  ],
} as const;

/** Every marker of a capture, in the order of its channels. */
export const MARKERS: readonly string[] = [
  ...LANDMARKS,
  ...Object.entries(STUCK_ON).flatMap(([segment, places]) =>
    places.map((_, i) => `${nameOf(segment)}_${i + 1}`),
  ),
];

/** Which markers keep their distances, by segment. */
export const RIGID_SEGMENTS: Readonly<Record<string, readonly string[]>> = {
  trail_upper_arm: ['trail_shoulder', 'trail_elbow', ...stuckOn('trail_upper_arm')],
  trail_forearm: ['trail_elbow', 'trail_wrist', ...stuckOn('trail_forearm')],
  club: ['grip', 'club_head', ...stuckOn('club')],
};

function nameOf(segment: string): string {
  return segment === 'club' ? 'shaft' : segment;
}

function stuckOn(segment: keyof typeof STUCK_ON): string[] {
  return STUCK_ON[segment].map((_, i) => `${nameOf(segment)}_${i + 1}`);
}

/** Where the ball lies in the lab (m): above the origin, which is on the ground. */
export const BALL: Readonly<Point> = [0, BALL_RADIUS_M, 0];

/** Puts the markers of a swing into the lab. */
export interface Placer {
  /** Writes x, y, z of every marker (m) at a time (s from impact): X to the target, Y up, Z from golfer to ball. */
  readonly at: (time_s: number, into: Float64Array) => void;
  /** A vector of the plane in the lab. */
  readonly turned: (vector: readonly [number, number]) => Point;
  /** Turn of the pelvis, deg, + = open. */
  readonly pelvisTurn_deg: (time_s: number) => number;
}

/**
 * The plane of the swing is set so that the head meets the ball: x toward the target, y up the slope at the body's inclination. The
 * trail shoulder lies out of the plane on the golfer's side, the trail elbow where the closed loop and the way it hangs put it. Hips
 * are beside the mechanics: they turn about the vertical on a course of their own.
 *
 * @example
 * const points = new Float64Array(3 * MARKERS.length);
 * placer(planeSwing(SKILLED_BODY, SKILLED_TIMINGS, 0.8)).at(0, points);
 * const head = 3 * MARKERS.indexOf('club_head');
 * points.subarray(head, head + 3) // [0, 0.021335, 0]: at impact on the ball, whose diameter is 42.67 mm
 */
export function placer(swing: PlaneSwing): Placer {
  const { body } = swing;
  const slope = body.planeInclination_deg * RAD;
  const up: Point = [0, Math.sin(slope), -Math.cos(slope)];
  const state = new Float64Array(PLANE_STATE);
  swing.at(0, state);
  const atImpact = planePoints(body, state).head;
  const hubAt = (rise: number): Point => [
    BALL[0] - atImpact[0],
    BALL[1] + (rise - atImpact[1]) * up[1],
    BALL[2] + (rise - atImpact[1]) * up[2],
  ];
  let hub = hubAt(0);
  // Out of the plane, on the side of the golfer: X x up points away.
  const outward: Point = [0, -Math.cos(slope), -Math.sin(slope)];
  const turned = ([x, y]: readonly [number, number]): Point => [x, y * up[1], y * up[2]];
  const place = (point: readonly [number, number], out = 0): Point => {
    const [x, y, z] = turned(point);
    return [hub[0] + x, hub[1] + y + out * outward[1], hub[2] + z + out * outward[2]];
  };
  const turnOfPelvis = pelvisTurn(swing);

  const at: Placer['at'] = (time_s, into) => {
    swing.at(time_s, state);
    hub = hubAt(swing.hubRise_m(time_s));
    const points = planePoints(body, state);
    const leadShoulder = place(points.leadShoulder);
    const grip = place(points.leadHand);
    const head = place(points.head);
    const { shoulder, elbow, wrist, normal } = trailArmOf(
      body,
      state,
      place(points.trailShoulderAtRest, body.trailArm.shoulderOffset_m),
      place(points.trailHand),
    );
    const turn = turnOfPelvis(time_s) * RAD;
    const hip = (side: number): Point => [
      hub[0] + side * HALF_HIPS_M * Math.cos(turn),
      hub[1] - HIPS_BELOW_HUB_M,
      hub[2] - HIPS_BEHIND_HUB_M - side * HALF_HIPS_M * Math.sin(turn),
    ];
    const markers: Point[] = [
      leadShoulder,
      between(leadShoulder, grip, LEAD_ELBOW_AT),
      between(leadShoulder, grip, 1 - LEAD_WRIST_FROM_HOLD_M / body.leadArm.length_m),
      shoulder,
      elbow,
      wrist,
      hip(1),
      hip(-1),
      grip,
      head,
    ];
    for (const place of STUCK_ON.trail_upper_arm) markers.push(stuck(shoulder, elbow, normal, place));
    for (const place of STUCK_ON.trail_forearm) markers.push(stuck(elbow, wrist, normal, place));
    for (const place of STUCK_ON.club) markers.push(stuck(grip, head, outward, place));
    for (let m = 0; m < markers.length; m++) into.set(markers[m]!, 3 * m);
  };
  return { at, turned, pelvisTurn_deg: turnOfPelvis };
}

function trailArmOf(body: SwingBody, state: Float64Array, atRest: Point, hand: Point) {
  const loop = loopOf(body, state);
  if (loop === null)
    throw new Error('placer: the trail arm does not reach the grip; use a swing that planeSwing allows.');
  const { upperArm_m: u, elbowToGrip_m: f } = body.trailArm;
  const way = minus(hand, atRest);
  const distance = norm(way);
  const toward = scaled(way, 1 / distance);
  const shoulder = plus(atRest, scaled(toward, loop.give_m));
  const span = distance - loop.give_m;
  const normal = unit(cross(toward, ELBOW_HANGS));
  const side = cross(normal, toward);
  // Along the line from shoulder to hand, and aside from it.
  const ahead = (u * u + span * span - f * f) / (2 * span);
  const aside = Math.sqrt(Math.max(0, u * u - ahead * ahead));
  const elbow = plus(shoulder, plus(scaled(toward, ahead), scaled(side, aside)));
  return { shoulder, elbow, wrist: between(elbow, hand, 1 - TRAIL_WRIST_FROM_HOLD_M / f), normal };
}

function stuck(
  from: Point,
  to: Point,
  normal: Point,
  [share, inPlane, out]: readonly [number, number, number],
): Point {
  const axis = unit(minus(to, from));
  const aside = cross(normal, axis);
  return plus(between(from, to, share), plus(scaled(aside, inPlane), scaled(normal, out)));
}

const plus = (a: Point, b: Point): Point => [a[0] + b[0], a[1] + b[1], a[2] + b[2]];
const minus = (a: Point, b: Point): Point => [a[0] - b[0], a[1] - b[1], a[2] - b[2]];
const scaled = (a: Point, by: number): Point => [a[0] * by, a[1] * by, a[2] * by];
const norm = (a: Point): number => Math.sqrt(a[0] * a[0] + a[1] * a[1] + a[2] * a[2]);
const unit = (a: Point): Point => scaled(a, 1 / norm(a));
const between = (a: Point, b: Point, share: number): Point => plus(a, scaled(minus(b, a), share));
const cross = (a: Point, b: Point): Point => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
