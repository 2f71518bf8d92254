import { rigidityVariance, type SegmentLength } from '../cleaning/rigidity.ts';
import { dot, type Vector } from '../geometry/vector.ts';
import type { InstantChoice } from '../instants/find-instants.ts';
import type { Found, Instant, InstantName } from '../instants/instant.ts';
import { type MarkerState, type Motion, stateAt, stateBeforeImpact } from '../motion.ts';
import { angleApart, type Reading, readAtInstant, type Sample } from '../uncertainty.ts';
import { type Shift, triggerOf } from './triggers.ts';

export type FoundInstants = Readonly<Record<InstantName, Found>>;

/** What a reading is made of: the landmark's position or velocity at the instant. */
export interface AtInstant {
  position(name: string): Vector;
  velocity(name: string): Vector;
}

/** A reading, or why there is none. */
export type Outcome = { readonly reading: Reading } | { readonly missing: string };

export interface Reader {
  /** Reads `measure` from `landmarks` at an instant, with its first-order uncertainty. */
  at(name: InstantName, landmarks: readonly string[], measure: (at: AtInstant) => number): Outcome;
  /** The value alone, for looking how it moves with something that is no landmark; NaN where there is none. */
  valueAt(name: InstantName, landmarks: readonly string[], measure: (at: AtInstant) => number): number;
  /** The same at any frame, for a reading that has no instant of its own. */
  atFrame(frame: number, landmarks: readonly string[], measure: (at: AtInstant) => number): Outcome;
  /**
   * The same on the path that the landmarks were on before impact. `shift` says how much later, s, the moment
   * falls when the landmarks move.
   */
  beforeImpact(
    frame: number,
    landmarks: readonly string[],
    measure: (at: AtInstant) => number,
    shift: (at: AtInstant, acceleration: (name: string) => Vector) => number,
  ): Outcome;
}

export interface ReaderInput {
  readonly motion: Motion;
  readonly segments: readonly SegmentLength[];
  readonly instants: FoundInstants;
  readonly choice: InstantChoice;
  readonly ball: Vector | null;
  readonly impactOtherVariance_s2: number;
}

/** Half the time over which the rate of a reading is taken where it is read at an uncertain moment, s. */
const RATE_REACH_S = 0.02;

export function createReader(input: ReaderInput): Reader {
  const { motion, segments } = input;
  // The same landmarks are read at the same moments for many metrics.
  const states = {
    filtered: new Map<string, MarkerState | null>(),
    raw: new Map<string, MarkerState | null>(),
  };
  const remembered = (stateOf: typeof stateAt, name: string, frame: number): MarkerState | null => {
    const kept = stateOf === stateAt ? states.filtered : states.raw;
    const key = `${name} at ${frame}`;
    const before = kept.get(key);
    if (before !== undefined) return before;
    const state = stateOf(motion, name, frame);
    kept.set(key, state);
    return state;
  };

  const read = (
    frame: number,
    stateOf: typeof stateAt,
    needed: readonly string[],
    trigger: readonly string[],
    shift: ((index: (name: string) => number) => Shift) | null,
    otherVariance: number,
    measure: (at: AtInstant) => number,
  ): Outcome => {
    const names = [...new Set([...needed, ...trigger])];
    const used: MarkerState[] = [];
    for (const name of names) {
      const state = remembered(stateOf, name, frame);
      if (!state) return { missing: whyUnseen(motion, name) };
      const extra = rigidityVariance(segments, name, frame, motion.rateHz);
      used.push({
        ...state,
        positionVariance: state.positionVariance + extra.position,
        velocityVariance: state.velocityVariance + extra.share * dot(state.velocity, state.velocity),
      });
    }
    const index = (name: string): number => names.indexOf(name);
    // The same few samples come again and again, changed in place.
    let [last, at]: [Sample | null, AtInstant | null] = [null, null];
    const measured = (sample: Sample): number => {
      if (sample !== last || at === null) [last, at] = [sample, atSample(sample, index)];
      return measure(at);
    };
    const rate = stateOf === stateAt && otherVariance > 0 ? rateAbout(frame, names, measured) : null;
    return { reading: readAtInstant(used, measured, shift ? shift(index) : null, otherVariance, rate) };
  };

  /** Rate of a reading, per second, over a span about a frame: far less noisy than the one at it. */
  const rateAbout = (
    frame: number,
    names: readonly string[],
    measured: (sample: Sample) => number,
  ): number | null => {
    const valueAt = (at: number): number => {
      const there = names.map((name) => remembered(stateAt, name, at));
      if (!there.every((state) => state !== null)) return Number.NaN;
      return measured({
        positions: there.map((state) => state.position),
        velocities: there.map((state) => state.velocity),
      });
    };
    const reach = RATE_REACH_S * motion.rateHz;
    const rate = angleApart(valueAt(frame + reach), valueAt(frame - reach)) / (2 * RATE_REACH_S);
    return Number.isNaN(rate) ? null : rate;
  };

  const stateOfInstant = (name: InstantName): typeof stateAt =>
    name === 'impact' && motion.split !== null ? stateBeforeImpact : stateAt;

  const readAt: Reader['at'] = (name, landmarks, measure) => {
    const found = input.instants[name];
    if ('missing' in found) return { missing: `${name} was not found: ${found.missing}` };
    const { instant } = found;
    const trigger = triggerOf(name, input.ball, input.choice, motion.split !== null);
    const stateOf = stateOfInstant(name);
    const other = otherVarianceOf(name, instant, trigger !== null, input);
    return read(
      instant.frame,
      stateOf,
      landmarks,
      trigger?.names ?? [],
      trigger?.shift ?? null,
      other,
      measure,
    );
  };

  // What the metrics read at an instant is read there again for the table of instants.
  const outcomes = new Map<(at: AtInstant) => number, Map<InstantName, Outcome>>();
  return {
    at(name, landmarks, measure) {
      const before = outcomes.get(measure)?.get(name);
      if (before) return before;
      const outcome = readAt(name, landmarks, measure);
      const kept = outcomes.get(measure) ?? new Map<InstantName, Outcome>();
      outcomes.set(measure, kept.set(name, outcome));
      return outcome;
    },
    valueAt(name, landmarks, measure) {
      const found = input.instants[name];
      if ('missing' in found) return Number.NaN;
      const states = landmarks.map((l) => remembered(stateOfInstant(name), l, found.instant.frame));
      if (!states.every((state) => state !== null)) return Number.NaN;
      const sample = {
        positions: states.map((state) => state.position),
        velocities: states.map((state) => state.velocity),
      };
      return measure(atSample(sample, (landmark) => landmarks.indexOf(landmark)));
    },
    atFrame(frame, landmarks, measure) {
      return read(frame, stateAt, landmarks, [], null, 0, measure);
    },
    beforeImpact(frame, landmarks, measure, shift) {
      const moved =
        (index: (name: string) => number): Shift =>
        (sample, accelerations) =>
          shift(atSample(sample, index), (name) => accelerations[index(name)]!);
      return read(frame, stateBeforeImpact, landmarks, [], moved, 0, measure);
    },
  };
}

function atSample(sample: Sample, index: (name: string) => number): AtInstant {
  return {
    position: (name) => sample.positions[index(name)]!,
    velocity: (name) => sample.velocities[index(name)]!,
  };
}

function otherVarianceOf(
  name: InstantName,
  instant: Instant,
  triggered: boolean,
  input: ReaderInput,
): number {
  if (name === 'impact') return input.impactOtherVariance_s2;
  return triggered ? 0 : instant.sd_s ** 2;
}

function whyUnseen(motion: Motion, name: string): string {
  return motion.landmarks.has(name)
    ? `${name} was not seen there, in a gap too long to fill`
    : `the layout names no ${name}`;
}
