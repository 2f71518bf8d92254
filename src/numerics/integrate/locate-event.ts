import { readDense, type StepWork, stepWork } from './dormand-prince.ts';

/** Something that happens when a function of time and state passes zero. */
export interface EventFunction {
  readonly name: string;
  readonly value: (time: number, state: Float64Array) => number;
  /** Which passage counts: 1 upward, -1 downward, 0 both. */
  readonly direction: -1 | 0 | 1;
  /** Whether the integration ends there. */
  readonly terminal: boolean;
}

/** Places inside a step at which events are looked for: one that comes and goes between two of them is missed. */
const LOOKS = [0.25, 0.5, 0.75, 1] as const;

/** Whether going from one value to the next passes zero in the direction asked for. Starting on zero is not a passage. */
function passes(before: number, after: number, direction: -1 | 0 | 1): boolean {
  if (direction >= 0 && before < 0 && after >= 0) return true;
  return direction <= 0 && before > 0 && after <= 0;
}

/**
 * Where a function that has opposite signs at both ends is zero, to the last digits of the argument: false position
 * with the Illinois correction, halving where that stalls.
 * Source: Dowell and Jarratt (1971), BIT 11, 168-174.
 */
function rootBetween(f: (x: number) => number, low: number, high: number): number {
  let [a, b] = [low, high];
  let [fa, fb] = [f(a), f(b)];
  if (fa === 0) return a;
  if (fb === 0) return b;
  for (let round = 0; round < 200; round++) {
    const width = Math.abs(b - a);
    const slanted = b - (fb * (b - a)) / (fb - fa);
    const inside = slanted > Math.min(a, b) && slanted < Math.max(a, b);
    const x = inside && round % 8 !== 7 ? slanted : (a + b) / 2;
    const fx = f(x);
    if (fx === 0 || width <= 4e-16 * Math.max(Math.abs(a), Math.abs(b))) return x;
    if (fx * fb < 0) {
      a = b;
      fa = fb;
    } else fa /= 2;
    b = x;
    fb = fx;
  }
  return b;
}

export interface Found {
  readonly event: EventFunction;
  readonly share: number;
  readonly work: StepWork;
}

/** The events within the step taken, in order of time, each with the step that ends on it. */
export function happeningsInStep(
  events: readonly EventFunction[],
  dense: Float64Array,
  offset: number,
  time: number,
  step: number,
  state: Float64Array,
  look: Float64Array,
  restep: (share: number, into: StepWork) => void,
): Found[] {
  const found: Found[] = [];
  const before = Float64Array.from(events, (event) => event.value(time, state));
  let share = 0;
  for (const next of LOOKS) {
    readDense(dense, offset, next, look);
    for (let k = 0; k < events.length; k++) {
      const event = events[k]!;
      const after = event.value(time + next * step, look);
      if (passes(before[k]!, after, event.direction)) {
        const valueAt = (share: number): number => {
          readDense(dense, offset, share, look);
          return event.value(time + share * step, look);
        };
        const root = rootBetween(valueAt, share, next);
        found.push(polish(event, root, valueAt, time, step, state.length, restep));
        readDense(dense, offset, next, look);
      }
      before[k] = after;
    }
    share = next;
  }
  return found.sort((a, b) => a.share - b.share);
}

/** Moves the root of the interpolant to where the event's function is zero at the end of a step of order 5. */
function polish(
  event: EventFunction,
  root: number,
  valueAt: (share: number) => number,
  time: number,
  step: number,
  size: number,
  restep: (share: number, into: StepWork) => void,
): Found {
  let share = root;
  const work = stepWork(size);
  restep(share, work);
  const slope = (valueAt(Math.min(1, root + 1e-4)) - valueAt(Math.max(0, root - 1e-4))) / 2e-4;
  for (let round = 0; round < 3; round++) {
    const move = -event.value(time + share * step, work.end) / slope;
    if (!(Math.abs(move) < 1e-3) || Math.abs(move) * step <= 1e-16 * Math.abs(time)) break;
    share = Math.min(1, Math.max(0, share + move));
    restep(share, work);
  }
  return { event, share, work };
}
