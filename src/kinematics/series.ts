import { difference, splineDerivative } from '../numerics/index.ts';
import { lagAngle, threePointFlexion } from './geometry/angles.ts';
import { cross, dot, norm, subtract, type Vector } from './geometry/vector.ts';
import { derivativeOfRuns, pointOf } from './instants/strike.ts';
import type { Motion } from './motion.ts';
import { mapTrack, type Track } from './trial.ts';

/** Quantities of every frame, from filtered positions; NaN where a landmark was not seen. */
export interface Series {
  /** Trail elbow flexion, deg, and its rate of change, deg/s. */
  readonly flexion: Float64Array;
  readonly flexionRate: Float64Array;
  /** Lag angle, deg. */
  readonly lag: Float64Array;
  /** Angular speed of the shaft and of the lead arm, rad/s. */
  readonly shaftSpeed: Float64Array;
  readonly armSpeed: Float64Array;
  /** Height of the lead wrist over the lead shoulder, of the head over the grip, of the grip over the hips, m. */
  readonly armRise: Float64Array;
  readonly shaftRise: Float64Array;
  readonly gripRise: Float64Array;
  /** Speed of the grip and of the head, m/s. */
  readonly gripSpeed: Float64Array;
  readonly headSpeed: Float64Array;
  /** Turn of the hip line from above, deg. */
  readonly hipTurn: Float64Array;
}

export function computeSeries(motion: Motion): Series {
  const { frames, rateHz, split } = motion;
  const none = new Float64Array(frames).fill(Number.NaN);
  const absent: Track = { x: none, y: none, z: none };
  const track = (name: string): Track => motion.landmarks.get(name)?.smooth ?? absent;
  const perFrame = (f: (i: number) => number): Float64Array => {
    const out = new Float64Array(frames);
    for (let i = 0; i < frames; i++) out[i] = f(i);
    return out;
  };
  const [shoulder, elbow, wrist] = ['trail_shoulder', 'trail_elbow', 'trail_wrist'].map(track) as Triple;
  const [leadShoulder, leadElbow, leadWrist] = ['lead_shoulder', 'lead_elbow', 'lead_wrist'].map(
    track,
  ) as Triple;
  const [grip, head, trailHip] = [track('grip'), track('club_head'), track('trail_hip')] as Triple;
  const leadHip = track('lead_hip');
  const derivative = motion.derivatives === 'spline' ? splineDerivative : difference;
  const velocityOf = (t: Track): Track => mapTrack(t, (v) => derivativeOfRuns(v, rateHz, derivative, split));
  const gripVelocity = velocityOf(grip);
  const headVelocity = velocityOf(head);
  const flexion = perFrame((i) =>
    threePointFlexion(pointOf(shoulder, i), pointOf(elbow, i), pointOf(wrist, i)),
  );
  const speedOf = (v: Track) => perFrame((i) => norm(pointOf(v, i)));
  return {
    flexion,
    flexionRate: derivativeOfRuns(flexion, rateHz, derivative, split),
    lag: perFrame((i) =>
      lagAngle(pointOf(leadElbow, i), pointOf(leadWrist, i), pointOf(grip, i), pointOf(head, i)),
    ),
    shaftSpeed: angularSpeed(grip, head, gripVelocity, headVelocity, perFrame),
    armSpeed: angularSpeed(
      leadShoulder,
      leadWrist,
      velocityOf(leadShoulder),
      velocityOf(leadWrist),
      perFrame,
    ),
    armRise: perFrame((i) => leadWrist.y[i]! - leadShoulder.y[i]!),
    shaftRise: perFrame((i) => head.y[i]! - grip.y[i]!),
    gripRise: perFrame((i) => grip.y[i]! - (leadHip.y[i]! + trailHip.y[i]!) / 2),
    gripSpeed: speedOf(gripVelocity),
    headSpeed: speedOf(headVelocity),
    hipTurn: perFrame(
      (i) => (Math.atan2(trailHip.z[i]! - leadHip.z[i]!, leadHip.x[i]! - trailHip.x[i]!) * 180) / Math.PI,
    ),
  };
}

type Triple = [Track, Track, Track];

/** |r x r'| / |r|^2 of the line from one landmark to another. */
function angularSpeed(
  from: Track,
  to: Track,
  fromVelocity: Track,
  toVelocity: Track,
  perFrame: (f: (i: number) => number) => Float64Array,
): Float64Array {
  return perFrame((i) => {
    const line: Vector = subtract(pointOf(to, i), pointOf(from, i));
    const rate = subtract(pointOf(toVelocity, i), pointOf(fromVelocity, i));
    return norm(cross(line, rate)) / dot(line, line);
  });
}
