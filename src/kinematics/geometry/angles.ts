import { add, cross, dot, norm, subtract, type Vector } from './vector.ts';

const DEG = 180 / Math.PI;

/**
 * Angle between two directions, degrees, 0 to 180: atan2(|a x b|, a . b), which keeps its digits near 0 and
 * 180 where an arc cosine loses half of them.
 * @example angleBetween([1, 0, 0], [0, 2, 0]) // 90
 */
export function angleBetween(a: Vector, b: Vector): number {
  return Math.atan2(norm(cross(a, b)), dot(a, b)) * DEG;
}

/**
 * Three-point flexion of a joint: 180 minus the included angle proximal-joint-distal, degrees. 0 = straight,
 * larger = more bent. Any unit of length.
 *
 * @example threePointFlexion([0, 1, 0], [0, 0, 0], [1, 0, 0]) // 90
 */
export function threePointFlexion(proximal: Vector, joint: Vector, distal: Vector): number {
  return angleBetween(subtract(joint, proximal), subtract(distal, joint));
}

/**
 * Rate of the three-point flexion, deg per unit of time, from positions and velocities: with u = joint - proximal,
 * v = distal - joint, c = u x v and d = u . v it is (d (c . c') / |c| - |c| d') / (|c|^2 + d^2). Positive = bending;
 * NaN for a joint exactly straight, where the angle has a kink.
 *
 * @example flexionRate([[0, 1, 0], [0, 0, 0], [1, 0, 0]], [[0, 0, 0], [0, 0, 0], [0, 1, 0]]) // 57.29577951308232
 */
export function flexionRate(
  [proximal, joint, distal]: readonly [Vector, Vector, Vector],
  [proximalVelocity, jointVelocity, distalVelocity]: readonly [Vector, Vector, Vector],
): number {
  const u = subtract(joint, proximal);
  const v = subtract(distal, joint);
  const du = subtract(jointVelocity, proximalVelocity);
  const dv = subtract(distalVelocity, jointVelocity);
  const c = cross(u, v);
  const dc = add(cross(du, v), cross(u, dv));
  const d = dot(u, v);
  const dd = dot(du, v) + dot(u, dv);
  return (((d * dot(c, dc)) / norm(c) - norm(c) * dd) / (dot(c, c) + d * d)) * DEG;
}

/**
 * Lag angle: 180 minus the included angle between lead forearm (elbow to wrist) and shaft (grip to head),
 * which is the angle between the two directions, degrees, in 3-D. 0 = shaft in line with the forearm,
 * 90 = a right angle.
 *
 * @example lagAngle([0, 1, 0], [0, 0, 0], [0, 0, 0], [1, 0, 0]) // 90
 */
export function lagAngle(elbow: Vector, wrist: Vector, grip: Vector, head: Vector): number {
  return angleBetween(subtract(wrist, elbow), subtract(head, grip));
}

/**
 * Shaft lean in the vertical plane of the target line (X toward the target, Y up):
 * atan2(grip_x - head_x, grip_y - head_y), degrees. Positive = grip ahead of the head, toward the target.
 *
 * @example shaftLean([0.1, 0.8, 0], [0, 0, 0.5]) // 7.125016348901798
 */
export function shaftLean(grip: Vector, head: Vector): number {
  return Math.atan2(grip[0] - head[0], grip[1] - head[1]) * DEG;
}

/**
 * Turn of a segment seen from above, from the line trail side to lead side: atan2(-dz, dx), degrees.
 * 0 = along the target line, positive = open to the target (lead side further from the ball line).
 *
 * @example lineTurn([0, 1, 0], [1, 1, -1]) // 45
 */
export function lineTurn(trail: Vector, lead: Vector): number {
  return Math.atan2(trail[2] - lead[2], lead[0] - trail[0]) * DEG;
}

/**
 * Attack angle: angle of a velocity from the ground, atan2(v_y, hypot(v_x, v_z)), degrees. Negative = down.
 *
 * @example attackAngle([40, -2.8, 0]) // -4.004172940709387
 */
export function attackAngle(velocity: Vector): number {
  return Math.atan2(velocity[1], Math.hypot(velocity[0], velocity[2])) * DEG;
}

/**
 * Lean in the target plane from lean in the swing plane: tan(target) = tan(plane) / sin(inclination of the
 * plane from the ground). Degrees.
 *
 * @example leanInTargetPlane(7, 60) // 8.06957804995627
 */
export function leanInTargetPlane(leanInSwingPlane: number, planeInclination: number): number {
  return Math.atan(Math.tan(leanInSwingPlane / DEG) / Math.sin(planeInclination / DEG)) * DEG;
}
