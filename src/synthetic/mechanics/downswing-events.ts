import type { EventFunction } from '../../numerics/index.ts';
import { headAhead, headRising } from './plane-motion.ts';
import { farthestHand, handAtSpan } from './shoulder-give.ts';
import type { SwingBody } from './swing-body.ts';
import { trailHandDistance } from './trail-elbow.ts';

const RAD = Math.PI / 180;
/** Where the follow-through is given up: the shaft well past level. */
const PAST_BALL_RAD = 150 * RAD;
/** Bends at which the forearm lies on the upper arm, and at which an arm whose shoulder gives nothing is at its end. */
const MOST_BEND_RAD = 0.98 * Math.PI;
const LEAST_BEND_RAD = 0.5 * RAD;

/** What is looked for while a downswing is followed. It ends where the trail hand would leave the grip, or well past the ball. */
export function downswingEvents(body: SwingBody): EventFunction[] {
  const arm = body.trailArm;
  const straight = handAtSpan(arm, spanAt(body, body.straightElbow_deg * RAD));
  const nearest = handAtSpan(arm, spanAt(body, MOST_BEND_RAD));
  const farthest = arm.give === undefined ? spanAt(body, LEAST_BEND_RAD) : farthestHand(arm);
  const [girdle, leadArm] = [body.trunk.length_m, body.leadArm.length_m];
  // Two events look at the same distance in the same state, one after the other.
  const seen = Float64Array.of(Number.NaN, Number.NaN, Number.NaN, Number.NaN);
  const distance = (s: Float64Array): number => {
    if (s[0] !== seen[0] || s[1] !== seen[1] || s[2] !== seen[2]) {
      seen[0] = s[0]!;
      seen[1] = s[1]!;
      seen[2] = s[2]!;
      seen[3] = trailHandDistance(girdle, leadArm, arm, s[0]!, s[1]!, s[2]!);
    }
    return seen[3]!;
  };
  return [
    { name: 'club turns round', direction: 1, terminal: false, value: (_t, s) => s[5]! },
    { name: 'lag at its most', direction: -1, terminal: false, value: (_t, s) => s[4]! - s[5]! },
    { name: 'lead arm parallel', direction: 1, terminal: false, value: (_t, s) => s[1]! + Math.PI / 2 },
    { name: 'delivery', direction: 1, terminal: false, value: (_t, s) => s[2]! + Math.PI / 2 },
    {
      name: 'impact',
      direction: 1,
      terminal: false,
      value: (_t, s) => headAhead(body, s) - body.ballAhead_m,
    },
    { name: 'low point', direction: 1, terminal: false, value: (_t, s) => headRising(body, s) },
    { name: 'trail elbow straight', direction: 1, terminal: false, value: (_t, s) => distance(s) - straight },
    {
      name: 'the trail hand leaves the grip',
      direction: 1,
      terminal: true,
      value: (_t, s) => {
        const hand = distance(s);
        return (hand - farthest) * (hand - nearest);
      },
    },
    { name: 'past the ball', direction: 1, terminal: true, value: (_t, s) => s[2]! - PAST_BALL_RAD },
  ];
}

/** From trail shoulder to trail hand at a flexion. */
function spanAt(body: SwingBody, flexion: number): number {
  const { upperArm_m: u, elbowToGrip_m: f } = body.trailArm;
  return Math.sqrt(u * u + f * f + 2 * u * f * Math.cos(flexion));
}
