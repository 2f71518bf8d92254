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
  /** Speed of the grip, m/s. */
  readonly gripSpeed: Float64Array;
  /** Turn of the hip line from above, deg. */
  readonly hipTurn: Float64Array;
}

/** The series of a motion, each worked out when it is first asked for. */
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
  const derivative = motion.derivatives === 'spline' ? splineDerivative : difference;
  const velocityOf = (t: Track): Track => mapTrack(t, (v) => derivativeOfRuns(v, rateHz, derivative, split));
  const [grip, head] = [track('grip'), track('club_head')];
  const [leadShoulder, leadWrist] = [track('lead_shoulder'), track('lead_wrist')];
  const [leadHip, trailHip] = [track('lead_hip'), track('trail_hip')];
  const gripVelocity = once(() => velocityOf(grip));
  const series: Series = eachOnce({
    flexion: () => {
      const [shoulder, elbow, wrist] = [track('trail_shoulder'), track('trail_elbow'), track('trail_wrist')];
      return perFrame((i) => threePointFlexion(pointOf(shoulder, i), pointOf(elbow, i), pointOf(wrist, i)));
    },
    flexionRate: () => derivativeOfRuns(series.flexion, rateHz, derivative, split),
    lag: () => {
      const elbow = track('lead_elbow');
      return perFrame((i) =>
        lagAngle(pointOf(elbow, i), pointOf(leadWrist, i), pointOf(grip, i), pointOf(head, i)),
      );
    },
    shaftSpeed: () => angularSpeed(grip, head, gripVelocity(), velocityOf(head), perFrame),
    armSpeed: () =>
      angularSpeed(leadShoulder, leadWrist, velocityOf(leadShoulder), velocityOf(leadWrist), perFrame),
    armRise: () => perFrame((i) => leadWrist.y[i]! - leadShoulder.y[i]!),
    shaftRise: () => perFrame((i) => head.y[i]! - grip.y[i]!),
    gripRise: () => perFrame((i) => grip.y[i]! - (leadHip.y[i]! + trailHip.y[i]!) / 2),
    gripSpeed: () => {
      const { x, y, z } = gripVelocity();
      return perFrame((i) => Math.sqrt(x[i]! * x[i]! + y[i]! * y[i]! + z[i]! * z[i]!));
    },
    hipTurn: () =>
      perFrame(
        (i) => (Math.atan2(trailHip.z[i]! - leadHip.z[i]!, leadHip.x[i]! - trailHip.x[i]!) * 180) / Math.PI,
      ),
  });
  return series;
}

/** An object whose series are made when first asked for: few of them are asked of the slowly filtered motion. */
function eachOnce(makers: { readonly [Name in keyof Series]: () => Series[Name] }): Series {
  const series = {};
  for (const [name, make] of Object.entries(makers))
    Object.defineProperty(series, name, { enumerable: true, get: once(make) });
  return series as Series;
}

function once<T>(make: () => T): () => T {
  let value: T | undefined;
  return () => {
    value ??= make();
    return value;
  };
}

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
