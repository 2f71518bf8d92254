import { mapTracks, type Track, type Trial } from '../trial.ts';
import { fillFromCluster } from './cluster-fill.ts';
import { undoExchanges } from './exchanges.ts';
import type { Gap } from './gaps.ts';
import { removeJumps } from './jumps.ts';
import { markerNoise } from './noise.ts';
import type { Repair } from './repair.ts';
import { rigidPairsWith } from './rigid-pairs.ts';
import { findSteps, type Step } from './steps.ts';

export interface CleanMarkers {
  readonly trial: Trial;
  readonly repairs: readonly Repair[];
  /** Gaps that other markers of a rigid segment filled. */
  readonly filled: readonly (Gap & { readonly landmark: string })[];
  /** Standard deviation of each coordinate of each landmark, m. */
  readonly noise: ReadonlyMap<string, number>;
}

/**
 * Puts markers right before anything is computed from them: exchanged labels, markers that stand elsewhere for some
 * frames, and gaps that at least three other markers of a rigid segment can fill. Works on distances only, so
 * the axes do not matter, and changes nothing in a capture without such faults.
 *
 * @param givenNoise standard deviation of each coordinate of every landmark, m; null estimates it landmark by landmark
 * @param rigidSegments landmarks of each segment that should not change its shape
 */
export function cleanMarkers(
  trial: Trial,
  givenNoise: number | null,
  rigidSegments: Readonly<Record<string, readonly string[]>>,
): CleanMarkers {
  const { rateHz } = trial;
  const tracks = new Map(trial.tracks);
  const rigidPairs = rigidPairsWith(rigidSegments);
  const noiseOf = (track: Track): number => givenNoise ?? markerNoise(track) ?? 0;
  const noise = new Map([...tracks].map(([name, track]) => [name, noiseOf(track)]));
  const repairs: Repair[] = [...namedTwice(tracks)];
  const steps = new Map<string, readonly Step[]>();
  for (const [name, track] of tracks) {
    const found = findSteps(track, rateHz, noise.get(name)!);
    if (found.length > 0) steps.set(name, found);
  }
  if (steps.size > 0) {
    repairs.push(...undoExchanges(tracks, steps, noise, rigidPairs));
    repairs.push(...removeJumps(tracks, rateHz, noise, rigidPairs, steps.keys()));
    for (const name of steps.keys()) noise.set(name, noiseOf(tracks.get(name)!));
  }
  const filled: (Gap & { landmark: string })[] = [];
  const seen = new Map(tracks);
  for (const names of Object.values(rigidSegments))
    for (const landmark of names) {
      const track = tracks.get(landmark);
      if (!track) continue;
      const others = names.filter((name) => name !== landmark).flatMap((name) => seen.get(name) ?? []);
      const fill = fillFromCluster(track, others);
      tracks.set(landmark, fill.track);
      filled.push(...fill.gaps.map((gap) => ({ landmark, ...gap })));
    }
  return { trial: mapTracks(trial, (_, name) => tracks.get(name)!), repairs, filled, noise };
}

/** Landmarks that stand at the very same place in every frame in which both are seen. */
function namedTwice(tracks: ReadonlyMap<string, Track>): Repair[] {
  const names = [...tracks.keys()];
  return names.flatMap((a, i) =>
    names.slice(i + 1).flatMap((b): Repair[] => {
      const together = sameThroughout(tracks.get(a)!, tracks.get(b)!);
      if (!together) return [];
      const because = 'two landmarks of the layout stand at the very same place throughout';
      return [{ found: 'same marker twice', landmarks: [a, b], ...together, done: 'kept', because }];
    }),
  );
}

function sameThroughout(a: Track, b: Track): { from: number; to: number } | null {
  let [from, to] = [-1, -1];
  for (let i = 0; i < a.x.length; i++) {
    if (Number.isNaN(a.x[i]!) || Number.isNaN(b.x[i]!)) continue;
    if (a.x[i] !== b.x[i] || a.y[i] !== b.y[i] || a.z[i] !== b.z[i]) return null;
    if (from < 0) from = i;
    to = i;
  }
  return from < 0 ? null : { from, to };
}
