/** Positions of one landmark over the frames, m; NaN where it was not seen. */
export interface Track {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly z: Float64Array;
}

/** Named landmarks of one capture in SI units. Axes are the file's until `orientTrial` turns them. */
export interface Trial {
  readonly rateHz: number;
  readonly frames: number;
  readonly tracks: ReadonlyMap<string, Track>;
}

/** A new track with every coordinate of the old one passed through `f`. */
export function mapTrack(track: Track, f: (values: Float64Array) => Float64Array): Track {
  return { x: f(track.x), y: f(track.y), z: f(track.z) };
}

/** A new trial with every track passed through `f`. */
export function mapTracks(trial: Trial, f: (track: Track, name: string) => Track): Trial {
  return { ...trial, tracks: new Map([...trial.tracks].map(([name, track]) => [name, f(track, name)])) };
}
