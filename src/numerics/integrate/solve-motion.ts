import {
  DENSE_TERMS,
  readDense,
  type StepWork,
  stepError,
  stepWork,
  takeStep,
  writeDense,
} from './dormand-prince.ts';
import { happeningsInStep } from './locate-event.ts';
import { checkProblem, type MotionProblem } from './motion-problem.ts';

/** An event that was met: its name, the time, and a copy of the state there. */
export interface Happening {
  readonly name: string;
  readonly time: number;
  readonly state: Float64Array;
}

/** Why an integration stopped before its end. */
export interface MotionFault {
  readonly kind: 'too-many-steps' | 'step-vanished' | 'not-finite';
  readonly time: number;
}

/** A motion as it was followed, with what it can be asked afterwards; times are in the unit of the problem. */
export interface Motion {
  /** Where the steps begin and end; the last is where the integration ended. */
  readonly times: Float64Array;
  readonly end: Float64Array;
  readonly happenings: readonly Happening[];
  /** The terminal event at which it ended; null when it reached `to`. */
  readonly endedBy: string | null;
  readonly fault: MotionFault | null;
  readonly evaluations: number;
  readonly rejected: number;
  /** Writes the state at a time between the ends; the error of the interpolant is of order 4. */
  readonly at: (time: number, into: Float64Array) => void;
}

/**
 * Follows an ordinary differential equation y' = f(t, y) forward in time: explicit Runge-Kutta of order 5(4) with
 * steps chosen from the estimated error, dense output, and events located on it and then polished with a
 * step that ends on the event, so that the time of an event is as exact as the steps are.
 * The same problem gives the same bits.
 * Source: Dormand and Prince (1980), J. Comput. Appl. Math. 6, 19-26; step control: Gustafsson (1991), ACM Trans.
 * Math. Softw. 17, 533-554; interpolant: Hairer, Norsett and Wanner (1993), section II.6.
 *
 * @returns the motion; `fault` says why where it could not be followed to the end, and then `end` is the last good state
 * @throws Error on an empty span, a state that is not finite, breaks out of order, or a tolerance that is not positive
 * @example
 * const fall = solveMotion({ rates: (_t, y, r) => { r[0] = y[1]!; r[1] = -9.81; }, start: Float64Array.of(1, 0), from: 0, to: 2,
 *   events: [{ name: 'ground', value: (_t, y) => y[0]!, direction: -1, terminal: true }] });
 * fall.happenings[0]!.time // 0.45152, the root of 2 / 9.81
 */
export function solveMotion(problem: MotionProblem): Motion {
  checkProblem(problem);
  const { rates, from, to, breaks = [], events = [], mostSteps = 100_000 } = problem;
  const { relativeTolerance = 1e-9, absoluteTolerance = 1e-12, largestStep = to - from } = problem;
  const size = problem.start.length;
  const work = stepWork(size);
  const state = problem.start.slice();
  const look = new Float64Array(size);
  const stride = DENSE_TERMS * size;
  const restep = (share: number, into: StepWork): void => {
    into.stages[0]!.set(work.stages[0]!);
    takeStep(rates, time, state, share * taken, piece, into);
    evaluations += 6;
  };
  const corners = [...breaks, to];
  const happenings: Happening[] = [];
  const times = [from];
  let dense = new Float64Array(64 * stride);
  let [time, taken, piece, evaluations, rejected, lastError] = [from, 0, 0, 1, 0, 1e-4];
  let endedBy: string | null = null;
  let fault: MotionFault | null = null;
  rates(time, state, work.stages[0]!, piece);
  let wanted = Math.min(
    largestStep,
    openingStep(state, work.stages[0]!, to - from, relativeTolerance, absoluteTolerance),
  );

  for (let tried = 0; piece < corners.length && endedBy === null; tried++) {
    const corner = corners[piece]!;
    const left = corner - time;
    // A sliver is joined to the step before it; two halves are better than a whole and a sliver.
    const lands = wanted >= left * (1 - 1e-12);
    const step = lands ? left : Math.min(wanted, left / 2);
    if (tried >= mostSteps) fault = { kind: 'too-many-steps', time };
    else if (time + step === time) fault = { kind: 'step-vanished', time };
    if (fault !== null) break;
    takeStep(rates, time, state, step, piece, work);
    evaluations += 6;
    const error = stepError(state, step, work, relativeTolerance, absoluteTolerance);
    if (!(error <= 1)) {
      rejected++;
      if (!Number.isFinite(error) && step < 1e-14 * (to - from)) {
        fault = { kind: 'not-finite', time };
        break;
      }
      wanted = step * (Number.isFinite(error) ? Math.max(0.2, 0.9 * error ** -0.2) : 0.1);
      continue;
    }
    const offset = (times.length - 1) * stride;
    if (offset + stride > dense.length) dense = grown(dense);
    writeDense(state, step, work, dense, offset);
    const next = lands ? corner : time + step;
    taken = step;
    const found = happeningsInStep(events, dense, offset, time, step, state, look, restep);
    for (const one of found) {
      happenings.push({ name: one.event.name, time: time + one.share * step, state: one.work.end.slice() });
      if (!one.event.terminal) continue;
      endedBy = one.event.name;
      if (one.share > 0) writeDense(state, one.share * step, one.work, dense, offset);
      time += one.share * step;
      state.set(one.work.end);
      break;
    }
    if (endedBy === null) {
      time = next;
      state.set(work.end);
      work.stages[0]!.set(work.stages[6]!);
      if (lands) {
        piece++;
        if (piece < corners.length) {
          rates(time, state, work.stages[0]!, piece);
          evaluations++;
        }
      }
    }
    times.push(time);
    const kept = Math.max(error, 1e-10);
    // What ended a piece says little of the next one: a step shortened to land on a corner does not shorten those after it.
    const growth = Math.min(5, 0.9 * kept ** -0.17 * lastError ** 0.04);
    wanted = Math.min(largestStep, Math.max(step * growth, lands ? Math.min(wanted, step * 5) : 0));
    lastError = Math.max(kept, 1e-4);
  }
  const at = denseReader(Float64Array.from(times), dense, stride);
  return {
    times: Float64Array.from(times),
    end: state,
    happenings,
    endedBy,
    fault,
    evaluations,
    rejected,
    at,
  };
}

/** A first step that keeps the first-order change small against the tolerated error (Hairer, Norsett and Wanner 1993, II.4). */
function openingStep(
  state: Float64Array,
  rate: Float64Array,
  span: number,
  relative: number,
  absolute: number,
): number {
  let [sizes, speeds] = [0, 0];
  for (let j = 0; j < state.length; j++) {
    const tolerated = absolute + relative * Math.abs(state[j]!);
    sizes += (state[j]! / tolerated) ** 2;
    speeds += (rate[j]! / tolerated) ** 2;
  }
  const guess = sizes > 0 && speeds > 0 ? 0.01 * Math.sqrt(sizes / speeds) : 1e-4 * span;
  return Math.min(Math.max(guess, 1e-6 * span), span);
}

function grown(dense: Float64Array): Float64Array<ArrayBuffer> {
  const larger = new Float64Array(2 * dense.length);
  larger.set(dense);
  return larger;
}

function denseReader(times: Float64Array, dense: Float64Array, stride: number): Motion['at'] {
  return (time, into) => {
    const last = times.length - 1;
    if (last < 1 || !(time >= times[0]! && time <= times[last]!))
      throw new Error(
        `solveMotion: ${time} lies outside the motion, which runs from ${times[0]} to ${times[last]}; ask for a time inside it.`,
      );
    let [low, high] = [0, last];
    while (high - low > 1) {
      const middle = (low + high) >> 1;
      if (times[middle]! <= time) low = middle;
      else high = middle;
    }
    const start = times[low]!;
    readDense(dense, low * stride, (time - start) / (times[high]! - start), into);
  };
}
