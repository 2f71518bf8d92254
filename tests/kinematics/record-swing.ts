import type { Layout, NamedChannels, Track } from '../../src/kinematics/index.ts';
import { createStream } from '../../src/numerics/index.ts';
import type { PlantedSwing, Point } from './planted-swing.ts';

export interface Recording {
  readonly rateHz: number;
  /** Of each coordinate of each marker, m. */
  readonly noise_m?: number;
  readonly seed?: number;
  /** Share of a frame by which the first frame is shifted. */
  readonly phase?: number;
  readonly start_s?: number;
  readonly length_s?: number;
  /** Turns and moves every point of the lab into the axes of the capture. */
  readonly place?: (point: Point) => Point;
}

export const PLAIN_LAYOUT: Layout = {
  lengthUnit: 'm',
  up: '+Y',
  targetLine: { axis: '+X' },
  plays: 'right',
  landmarks: {},
};

/** The planted swing as a capture system would see it, and the time of its first frame, s from impact. */
export function recordSwing(
  swing: PlantedSwing,
  recording: Recording,
): { readonly named: NamedChannels; readonly start_s: number } {
  const { rateHz, noise_m = 0, seed = 1, phase = 0.3, start_s = -1.6, length_s = 2.2 } = recording;
  const place = recording.place ?? ((p) => p);
  const frames = Math.round(length_s * rateHz);
  const start = start_s + phase / rateHz;
  const stream = createStream(seed);
  const noise = (): number => (noise_m === 0 ? 0 : stream.normal(0, noise_m));
  const tracks = new Map<string, Track>();
  for (const name of swing.landmarks) {
    const track = { x: new Float64Array(frames), y: new Float64Array(frames), z: new Float64Array(frames) };
    for (let i = 0; i < frames; i++) {
      const p = swing.position(name, start + i / rateHz);
      const seen = place([p[0] + noise(), p[1] + noise(), p[2] + noise()]);
      [track.x[i], track.y[i], track.z[i]] = seen;
    }
    tracks.set(name, track);
  }
  const named: NamedChannels = {
    trial: { rateHz, frames, tracks },
    targetFrom: null,
    targetTo: null,
    ball: place(swing.ball),
    warnings: [],
  };
  return { named, start_s: start };
}
