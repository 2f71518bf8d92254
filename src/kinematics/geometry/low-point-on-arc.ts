const RAD = Math.PI / 180;

/** Where on its arc the club head is at impact, as attack angle and plane tell it. */
export interface ArcFromAttack {
  /** Angle along the arc from the low point to where the head is, deg; negative = before it. */
  readonly arc_deg: number;
  /** Distance along the target line from the ball to the low point, m; + = ahead of the ball. */
  readonly lowPoint_m: number;
  /** How far the path is turned out of the plane's own direction, deg; + = toward in-to-out. */
  readonly pathShift_deg: number;
}

/**
 * What an attack angle says of a head on a circular arc in an inclined plane: tan(attack) = tan(arc) sin(inclination), low
 * point = -radius sin(arc), tan(path shift) = -tan(attack) / tan(inclination). The attack angle is the one seen along the
 * vertical plane of the target; for the few degrees of a struck ball it is the same as the angle from the ground.
 *
 * @param attack_deg negative = the head goes down
 * @param inclination_deg of the plane from the ground
 * @param radius_m of the arc
 * @see geometry; check values -4 deg, 60 deg, 1.6 m: 0.1288 m ahead, shift 2.312 deg
 * @example arcFromAttack(-4, 60, 1.6).lowPoint_m // 0.1288
 */
export function arcFromAttack(attack_deg: number, inclination_deg: number, radius_m: number): ArcFromAttack {
  const tangent = Math.tan(attack_deg * RAD);
  const arc = Math.atan(tangent / Math.sin(inclination_deg * RAD));
  return {
    arc_deg: arc / RAD,
    lowPoint_m: -radius_m * Math.sin(arc),
    pathShift_deg: Math.atan(-tangent / Math.tan(inclination_deg * RAD)) / RAD,
  };
}
