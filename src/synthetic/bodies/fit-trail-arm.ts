import { handAtSpan, type PlaneAngles, type SwingBody, type TrailArm } from '../mechanics/index.ts';

const RAD = Math.PI / 180;
/** How far from the hub a trail shoulder lies, as shares of the lead shoulder's distance. Design assumption. */
const LEAST_RADIUS = 0.4;
const MOST_RADIUS = 1.5;

/**
 * Sets the trail shoulder so that the elbow has a bend in each of two postures. Seen from the trunk, the trail hand is in two places P
 * and Q, and the bends say how far the shoulder is from each: it lies where two circles cross, their radii being those distances less what is
 * out of the plane (D^2 - h^2). Of two crossings the one nearer to where the shoulder was is taken.
 *
 * @returns null where the circles do not cross, or cross where no shoulder is
 */
export function fitTrailArm(
  body: SwingBody,
  postures: readonly [PlaneAngles, PlaneAngles],
  bends_deg: readonly [number, number],
): TrailArm | null {
  const arm = body.trailArm;
  const [p, q] = postures.map((angles) => handFromTrunk(body, angles)) as [Point, Point];
  const [a, b] = bends_deg.map((bend) => handDistance(arm, bend) ** 2 - arm.shoulderOffset_m ** 2) as [
    number,
    number,
  ];
  const apart = Math.hypot(q[0] - p[0], q[1] - p[1]);
  const along = (a - b + apart ** 2) / (2 * apart);
  const aside = Math.sqrt(a - along ** 2);
  if (!(aside >= 0)) return null;
  const [ex, ey] = [(q[0] - p[0]) / apart, (q[1] - p[1]) / apart];
  const was = shoulderFromTrunk(arm.shoulderRadius_m, arm.shoulderAngle_rad);
  const [shoulder] = [aside, -aside]
    .map((side): Point => [p[0] + along * ex - side * ey, p[1] + along * ey + side * ex])
    .sort((s, t) => distance(s, was) - distance(t, was));
  const shoulderRadius_m = Math.hypot(...shoulder!);
  const turn = Math.atan2(-shoulder![1], shoulder![0]);
  const shoulderAngle_rad = turn < 0 ? turn + 2 * Math.PI : turn;
  const share = shoulderRadius_m / body.trunk.length_m;
  if (!(share >= LEAST_RADIUS && share <= MOST_RADIUS)) return null;
  if (Math.cos(shoulderAngle_rad) > 0) return null;
  return { ...arm, shoulderRadius_m, shoulderAngle_rad };
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

function distance(s: Point, t: Point): number {
  return Math.hypot(s[0] - t[0], s[1] - t[1]);
}
