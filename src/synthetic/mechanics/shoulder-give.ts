import type { ShoulderGive, TrailArm } from './trail-arm.ts';

/**
 * What the arm spans (m, shoulder to hand) when the trail hand is so far from the trail shoulder at rest: less than that
 * where the shoulder blade gives way, and never more than its length.
 *
 * @example
 * // The shoulder blade takes up half of what is beyond 0.5 m
 * const arm = { ...SKILLED_BODY.trailArm, give: { share: 0.5, rest_m: 0.5, softness_m: 0, most_m: 0.15 } };
 * armSpan(arm, 0.6) // 0.55
 */
export function armSpan(arm: TrailArm, distance_m: number): number {
  if (arm.give === undefined) return distance_m;
  const slack = slackAt(arm, arm.give, distance_m);
  return arm.upperArm_m + arm.elbowToGrip_m - (slack + Math.hypot(slack, arm.give.softness_m)) / 2;
}

/**
 * The distance (m) from the trail shoulder at rest to the trail hand at which the arm spans so much, less than its length:
 * `armSpan` backward.
 *
 * @example
 * const arm = { ...SKILLED_BODY.trailArm, give: { share: 0.5, rest_m: 0.5, softness_m: 0, most_m: 0.15 } };
 * handAtSpan(arm, 0.55) // 0.6
 */
export function handAtSpan(arm: TrailArm, span_m: number): number {
  if (arm.give === undefined) return span_m;
  const { share, rest_m, softness_m } = arm.give;
  const reach = arm.upperArm_m + arm.elbowToGrip_m;
  const left = reach - span_m;
  const slack = left - softness_m ** 2 / (4 * left);
  return rest_m + (reach - slack - rest_m) / (1 - share);
}

/** The farthest the trail hand can be from the trail shoulder at rest, by halving where the shoulder blade gives way. */
export function farthestHand(arm: TrailArm): number {
  const reach = arm.upperArm_m + arm.elbowToGrip_m;
  if (arm.give === undefined) return reach;
  let [low, high] = [0, reach + arm.give.most_m];
  for (let round = 0; round < 60; round++) {
    const middle = (low + high) / 2;
    if (middle - armSpan(arm, middle) > arm.give.most_m) high = middle;
    else low = middle;
  }
  return low;
}

/** What one metre more of distance adds to what the arm spans. */
export function spanSlope(arm: TrailArm, distance_m: number): number {
  if (arm.give === undefined) return 1;
  const slack = slackAt(arm, arm.give, distance_m);
  return ((1 - arm.give.share) * (1 + slack / Math.hypot(slack, arm.give.softness_m))) / 2;
}

function slackAt(arm: TrailArm, give: ShoulderGive, distance_m: number): number {
  return arm.upperArm_m + arm.elbowToGrip_m - give.rest_m - (1 - give.share) * (distance_m - give.rest_m);
}
