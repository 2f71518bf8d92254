import { median } from '../../numerics/index.ts';
import type { Track } from '../trial.ts';
import { without } from './exchanges.ts';
import type { Repair } from './repair.ts';
import { distances } from './rigid-pairs.ts';
import { findSteps, follows, type Step } from './steps.ts';

type Pair = readonly [string, string];

/** A landmark that is away for longer than this is not known by coming back, s. */
const LONGEST_AWAY_S = 0.25;
/** A rigid segment's length is wrong when it differs from the usual by more than both, m and share. */
const WRONG_LENGTH_M = 0.03;
const WRONG_LENGTH_SHARE = 0.1;

/** Over more frames a path is not followed; it is only asked whether the landmark can have come as far. */
const FOLLOWED_FRAMES = 3;
const SLACK_M = 0.05;
const SPEED_OVER = 4;
/** A landmark that was out of its place at its fastest, the club head at impact, was slower at both ends of that time. */
const FASTER_BETWEEN = 1.25;

interface Piece {
  readonly from: number;
  readonly to: number;
}

/**
 * Takes out the frames in which a landmark stands elsewhere: between two steps of its path after which it is back, or
 * where a step changes the length of a rigid segment that it is part of. A step that neither tells is kept
 * and named. What is right is taken to be the longest piece of the path.
 *
 * @param tracks changed in place: a landmark with frames left missing gets a new track
 */
export function removeJumps(
  tracks: Map<string, Track>,
  rateHz: number,
  noise: ReadonlyMap<string, number>,
  rigidPairs: readonly Pair[],
  names: Iterable<string>,
): Repair[] {
  return [...names].flatMap((name) => {
    const steps = findSteps(tracks.get(name)!, rateHz, noise.get(name) ?? 0);
    return steps.length === 0 ? [] : settle(tracks, name, steps, rateHz, noise.get(name) ?? 0, rigidPairs);
  });
}

function settle(
  tracks: Map<string, Track>,
  name: string,
  steps: readonly Step[],
  rateHz: number,
  noise: number,
  rigidPairs: readonly Pair[],
): Repair[] {
  const track = tracks.get(name)!;
  const pieces = piecesOf(track, steps);
  const home = pieces.reduce((best, piece) => (lengthOf(piece) > lengthOf(best) ? piece : best));
  const wrong = lengthTest(tracks, name, home, rigidPairs);
  const longestAway = Math.round(LONGEST_AWAY_S * rateHz);
  const back = (first: Piece, second: Piece): boolean => {
    const frames = second.from - first.to;
    if (frames <= FOLLOWED_FRAMES) return follows(track, first.to, track, second.from, noise);
    return frames <= longestAway && withinReach(track, first, second);
  };
  const repairs: Repair[] = [];
  const walk = (outward: readonly Piece[], meets: (accepted: Piece, next: Piece) => boolean): void => {
    let accepted = home;
    for (let i = 0; i < outward.length; i++) {
      const piece = outward[i]!;
      const returns = outward.findIndex((later, j) => j > i && meets(accepted, later));
      const verdict = (done: Repair['done'], because: string): void => {
        const found = done === 'kept' ? 'step in a path' : 'marker away from its place';
        repairs.push({ found, landmarks: [name], from: piece.from, to: piece.to, done, because });
      };
      if (meets(accepted, piece)) accepted = piece;
      else if (wrong(piece)) verdict('left missing', 'the length of a rigid segment is wrong there');
      else if (returns >= 0)
        verdict('left missing', 'its path goes on afterwards as if it had not been there');
      else {
        verdict('kept', 'neither its way back nor the length of a rigid segment tells which side is right');
        accepted = piece;
      }
    }
  };
  const at = pieces.indexOf(home);
  walk(pieces.slice(at + 1), (accepted, next) => back(accepted, next));
  walk(pieces.slice(0, at).reverse(), (accepted, next) => back(next, accepted));
  const away = repairs.filter(({ done }) => done === 'left missing');
  if (away.length > 0) tracks.set(name, without(track, away));
  return repairs.sort((p, q) => p.from - q.from);
}

/** Whether a landmark can come from the end of one piece to the start of another at the speeds it has there. */
function withinReach(track: Track, first: Piece, second: Piece): boolean {
  const apart = (i: number, j: number): number =>
    Math.hypot(track.x[i]! - track.x[j]!, track.y[i]! - track.y[j]!, track.z[i]! - track.z[j]!);
  const speedAt = (from: number, to: number): number => (to > from ? apart(from, to) / (to - from) : 0);
  const speeds = [
    speedAt(Math.max(first.from, first.to - SPEED_OVER), first.to),
    speedAt(second.from, Math.min(second.to, second.from + SPEED_OVER)),
  ].filter((v) => !Number.isNaN(v));
  const fastest = FASTER_BETWEEN * Math.max(0, ...speeds);
  return apart(first.to, second.from) <= SLACK_M + (second.from - first.to) * fastest;
}

/** Stretches of a path between steps, from the first to the last frame seen in each. */
function piecesOf(track: Track, steps: readonly Step[]): Piece[] {
  let first = 0;
  while (Number.isNaN(track.x[first]!)) first++;
  let last = track.x.length - 1;
  while (Number.isNaN(track.x[last]!)) last--;
  const starts = [first, ...steps.map(({ after }) => after)];
  const ends = [...steps.map(({ before }) => before), last];
  return starts.map((from, i) => ({ from, to: ends[i]! }));
}

const lengthOf = ({ from, to }: Piece): number => to - from + 1;

/** Whether the rigid segments that a landmark is part of have another length in a piece than at home. */
function lengthTest(
  tracks: ReadonlyMap<string, Track>,
  name: string,
  home: Piece,
  rigidPairs: readonly Pair[],
): (piece: Piece) => boolean {
  const segments = rigidPairs.flatMap(([a, b]) => {
    const [one, two] = [tracks.get(a), tracks.get(b)];
    if ((a !== name && b !== name) || !one || !two) return [];
    const lengths = distances(one, two);
    const usual = medianWithin(lengths, home);
    return usual === null ? [] : [{ lengths, usual }];
  });
  return (piece) =>
    segments.some(({ lengths, usual }) => {
      const there = medianWithin(lengths, piece);
      return there !== null && Math.abs(there - usual) > Math.max(WRONG_LENGTH_M, WRONG_LENGTH_SHARE * usual);
    });
}

function medianWithin(values: Float64Array, { from, to }: Piece): number | null {
  return median(values.slice(from, to + 1).filter((v) => !Number.isNaN(v)));
}
