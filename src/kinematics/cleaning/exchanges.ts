import { median } from '../../numerics/index.ts';
import type { Track } from '../trial.ts';
import type { Repair } from './repair.ts';
import { distances } from './rigid-pairs.ts';
import { follows, type Step } from './steps.ts';

type Tracks = Map<string, Track>;
type Pair = readonly [string, string];

/** Frames from..to, inclusive. */
interface Run {
  readonly from: number;
  readonly to: number;
}

/** Lengths vary this much less under the labels that are right, or they decide nothing. */
const CLEAR = 0.5;

/**
 * Finds two landmarks whose labels were exchanged for some frames: in one frame the path of each goes on where the
 * other was. Which side of that frame has the right labels is told by the lengths of rigid segments, which vary
 * least when they are right; where lengths do not decide (both hips), the labels of the greater part of the capture are
 * right if the exchange begins and ends in it. Else the frames in doubt are left missing in both.
 *
 * @param tracks changed in place: a landmark that is put right or left missing gets a new track
 */
export function undoExchanges(
  tracks: Tracks,
  steps: ReadonlyMap<string, readonly Step[]>,
  noise: ReadonlyMap<string, number>,
  rigidPairs: readonly Pair[],
): Repair[] {
  const found = findExchanges(tracks, steps, noise);
  return [...found.values()].flatMap(({ pair, frames }) => settle(tracks, pair, frames, rigidPairs));
}

function findExchanges(
  tracks: Tracks,
  steps: ReadonlyMap<string, readonly Step[]>,
  noise: ReadonlyMap<string, number>,
): Map<string, { pair: Pair; frames: number[] }> {
  const found = new Map<string, { pair: Pair; frames: number[] }>();
  const names = [...steps.keys()];
  const partners = (name: string, step: Step): string[] =>
    names.filter((other) => {
      if (other === name) return false;
      const match = steps.get(other)!.find(({ after }) => after === step.after);
      if (!match) return false;
      const [a, b] = [tracks.get(name)!, tracks.get(other)!];
      const most = Math.max(noise.get(name) ?? 0, noise.get(other) ?? 0);
      return follows(a, step.before, b, match.after, most) && follows(b, match.before, a, step.after, most);
    });
  for (const name of names)
    for (const step of steps.get(name)!) {
      const [only, ...more] = partners(name, step);
      // More than one that it could be is no clear case; it is left to the search for jumps.
      if (only === undefined || more.length > 0 || name > only) continue;
      const key = `${name} ${only}`;
      const entry = found.get(key) ?? { pair: [name, only], frames: [] };
      entry.frames.push(step.after);
      found.set(key, entry);
    }
  return found;
}

function settle(
  tracks: Tracks,
  pair: Pair,
  frames: readonly number[],
  rigidPairs: readonly Pair[],
): Repair[] {
  const last = tracks.get(pair[0])!.x.length - 1;
  const bounds = [0, ...frames, last + 1];
  const pieces = bounds.slice(1).map((next, i): Run => ({ from: bounds[i]!, to: next - 1 }));
  const [even, odd] = [0, 1].map((rest) => pieces.filter((_, i) => i % 2 === rest)) as [Run[], Run[]];
  const act = (done: 'put right' | 'left missing', runs: readonly Run[], because: string): Repair[] => {
    if (done === 'put right') exchange(tracks, pair, runs);
    else for (const name of pair) tracks.set(name, without(tracks.get(name)!, runs));
    return runs.map(({ from, to }) => ({
      found: 'exchanged markers',
      landmarks: pair,
      from,
      to,
      done,
      because,
    }));
  };
  const whole: readonly Run[] = [{ from: 0, to: last }];
  const spread = (exchanged: readonly Run[], within: readonly Run[]): number =>
    spreadOfLengths(tracks, pair, exchanged, within, rigidPairs);
  const [withEven, withOdd] = [spread(even, whole), spread(odd, whole)];
  const best = withOdd <= withEven ? odd : even;
  const clear = Math.min(withOdd, withEven) < CLEAR * Math.max(withOdd, withEven);
  if (clear && spread(best, best) < CLEAR * spread([], best))
    return act('put right', best, 'the lengths of rigid segments stay the same with the labels exchanged');
  const count = (runs: readonly Run[]): number => runs.reduce((sum, { from, to }) => sum + to - from + 1, 0);
  const shorter = count(odd) <= count(even) ? odd : even;
  const bracketed = shorter.every(({ from, to }) => from > 0 && to < last);
  if (bracketed && spread(shorter, shorter) <= spread([], shorter))
    return act('put right', shorter, 'each path goes on where the other was, before and after');
  return act('left missing', shorter, 'nothing tells on which side the labels are right');
}

/**
 * Mean distance, over some runs, of the lengths from one of the two landmarks to a third from their median over the
 * capture, with the labels exchanged in some runs, m. Zero where neither is part of a rigid segment without the other.
 */
function spreadOfLengths(
  tracks: Tracks,
  [a, b]: Pair,
  exchanged: readonly Run[],
  within: readonly Run[],
  rigidPairs: readonly Pair[],
): number {
  const labelled = new Map(tracks);
  exchange(labelled, [a, b], exchanged);
  let [sum, count] = [0, 0];
  for (const [p, q] of rigidPairs) {
    const own = [p, q].filter((name) => name === a || name === b).length;
    const [from, to] = [labelled.get(p), labelled.get(q)];
    if (own !== 1 || !from || !to) continue;
    const lengths = distances(from, to);
    const usual = median(lengths.filter((v) => !Number.isNaN(v)));
    if (usual === null) continue;
    for (const run of within)
      for (let i = run.from; i <= run.to; i++) {
        if (Number.isNaN(lengths[i]!)) continue;
        sum += Math.abs(lengths[i]! - usual);
        count++;
      }
  }
  return count === 0 ? 0 : sum / count;
}

function exchange(tracks: Tracks, [a, b]: Pair, runs: readonly Run[]): void {
  const [one, two] = [tracks.get(a)!, tracks.get(b)!];
  const [first, second] = [copyOf(one), copyOf(two)];
  for (const axis of ['x', 'y', 'z'] as const)
    for (const { from, to } of runs) {
      first[axis].set(two[axis].subarray(from, to + 1), from);
      second[axis].set(one[axis].subarray(from, to + 1), from);
    }
  tracks.set(a, first);
  tracks.set(b, second);
}

/** A copy of a track that is missing over some frames. */
export function without(track: Track, runs: readonly Run[]): Track {
  const out = copyOf(track);
  for (const axis of ['x', 'y', 'z'] as const)
    for (const { from, to } of runs) out[axis].fill(Number.NaN, from, to + 1);
  return out;
}

function copyOf({ x, y, z }: Track): Track {
  return { x: x.slice(), y: y.slice(), z: z.slice() };
}
