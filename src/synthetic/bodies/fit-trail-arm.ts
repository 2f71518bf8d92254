import { handAtSpan, type PlaneAngles, type SwingBody, type TrailArm } from '../mechanics/index.ts';

const RAD = Math.PI / 180;
/** How far from the hub a trail shoulder can be, as shares of the lead shoulder's distance. Design assumption. */
const LEAST_RADIUS = 0.4;
const MOST_RADIUS = 1.5;

/**
 * Moves the trail shoulder, as little as may be, so that the elbow has a bend in a posture. Seen from the trunk the trail hand is at a point
 * P, and the bend says how far from it the shoulder is: on a circle about P, its radius being that distance less what is out of the
 * plane (D^2 - h^2). The shoulder goes to the point of the circle nearest to where it was; the lengths of the arm stay.
 *
 * @param posture angles of trunk, lead arm and club, rad
 * @param bend_deg of the elbow, 0 = straight
 * @returns null where the shoulder would come to lie on the lead side, or where no shoulder is
 * @example
 * const posture = [-0.18, -2, -3.6] as const;
 * const trailArm = fitTrailArm(SKILLED_BODY, posture, 95)!;
 * (loopOf({ ...SKILLED_BODY, trailArm }, [...posture, 0, 0, 0])!.flexion_rad * 180) / Math.PI // 95
 */
export function fitTrailArm(body: SwingBody, posture: PlaneAngles, bend_deg: number): TrailArm | null {
  const arm = body.trailArm;
  const [px, py] = handFromTrunk(body, posture);
  const radius = Math.sqrt(handDistance(arm, bend_deg) ** 2 - arm.shoulderOffset_m ** 2);
  const [sx, sy] = shoulderFromTrunk(arm.shoulderRadius_m, arm.shoulderAngle_rad);
  const share = radius / Math.hypot(sx - px, sy - py);
  const [x, y] = [px + share * (sx - px), py + share * (sy - py)];
  const out = Math.hypot(x, y) / body.trunk.length_m;
  if (!(x < 0 && out >= LEAST_RADIUS && out <= MOST_RADIUS)) return null;
  return { ...arm, shoulderRadius_m: Math.hypot(x, y), shoulderAngle_rad: Math.PI + Math.atan2(y, -x) };
}

/** Along the line from the hub to the lead shoulder, and a quarter turn toward the target from it. */
type Point = readonly [number, number];

function handFromTrunk(body: SwingBody, [trunk, lead, club]: PlaneAngles): Point {
  const arm = body.leadArm.length_m;
  const gap = body.trailArm.handGap_m;
  return [
    body.trunk.length_m + arm * Math.cos(lead - trunk) + gap * Math.cos(club - trunk),
    arm * Math.sin(lead - trunk) + gap * Math.sin(club - trunk),
  ];
}

function shoulderFromTrunk(radius: number, angle: number): Point {
  return [radius * Math.cos(angle), -radius * Math.sin(angle)];
}

/** From the trail shoulder at rest to the hand at a bend of the elbow. */
function handDistance(arm: TrailArm, bend_deg: number): number {
  const { upperArm_m: u, elbowToGrip_m: f } = arm;
  return handAtSpan(arm, Math.sqrt(u * u + f * f + 2 * u * f * Math.cos(bend_deg * RAD)));
}
