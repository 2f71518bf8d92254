/**
 * Writes into `rates` the time derivative of each element of `state`. `piece` counts the breaks passed: on a break
 * the rates of the piece that is being integrated are asked for, so a jump has a left and a right value.
 */
export type Rates = (time: number, state: Float64Array, rates: Float64Array, piece: number) => void;

/** Working memory of one step; `stages` 0 is the rate at its start, 6 the rate at its end. */
export interface StepWork {
  readonly stages: readonly Float64Array[];
  readonly trial: Float64Array;
  readonly end: Float64Array;
}

const NODES = [0, 1 / 5, 3 / 10, 4 / 5, 8 / 9, 1, 1] as const;
const WEIGHTS: readonly (readonly number[])[] = [
  [],
  [1 / 5],
  [3 / 40, 9 / 40],
  [44 / 45, -56 / 15, 32 / 9],
  [19372 / 6561, -25360 / 2187, 64448 / 6561, -212 / 729],
  [9017 / 3168, -355 / 33, 46732 / 5247, 49 / 176, -5103 / 18656],
  [35 / 384, 0, 500 / 1113, 125 / 192, -2187 / 6784, 11 / 84],
];
const ERROR = [71 / 57600, 0, -71 / 16695, 71 / 1920, -17253 / 339200, 22 / 525, -1 / 40] as const;
const DENSE = [
  -12715105075 / 11282082432,
  0,
  87487479700 / 32700410799,
  -10690763975 / 1880347072,
  701980252875 / 199316789632,
  -1453857185 / 822651844,
  69997945 / 29380423,
] as const;

export function stepWork(size: number): StepWork {
  return {
    stages: Array.from({ length: 7 }, () => new Float64Array(size)),
    trial: new Float64Array(size),
    end: new Float64Array(size),
  };
}

/**
 * One step of the explicit Runge-Kutta pair of order 5(4), from `state` at `time` over `step`. Stage 0 must hold the
 * rate there; afterwards `work.end` holds the state of order 5 and stage 6 the rate at the end.
 * Source: Dormand and Prince (1980), Journal of Computational and Applied Mathematics 6, 19-26, table 2.
 */
export function takeStep(
  rates: Rates,
  time: number,
  state: Float64Array,
  step: number,
  piece: number,
  work: StepWork,
): void {
  const { stages, trial, end } = work;
  for (let s = 1; s < 7; s++) {
    const into = s === 6 ? end : trial;
    const weights = WEIGHTS[s]!;
    for (let j = 0; j < state.length; j++) {
      let sum = 0;
      for (let r = 0; r < s; r++) sum += weights[r]! * stages[r]![j]!;
      into[j] = state[j]! + step * sum;
    }
    rates(time + NODES[s]! * step, into, stages[s]!, piece);
  }
}

/** Root mean square of the estimated error of the step taken, each element relative to what is tolerated: at most 1 is good. */
export function stepError(
  state: Float64Array,
  step: number,
  work: StepWork,
  relative: number,
  absolute: number,
): number {
  const { stages, end } = work;
  let total = 0;
  for (let j = 0; j < state.length; j++) {
    let error = 0;
    for (let s = 0; s < 7; s++) error += ERROR[s]! * stages[s]![j]!;
    const tolerated = absolute + relative * Math.max(Math.abs(state[j]!), Math.abs(end[j]!));
    total += ((step * error) / tolerated) ** 2;
  }
  return Math.sqrt(total / state.length);
}

/** How many numbers per element the interpolant of a step takes. */
export const DENSE_TERMS = 5;

/**
 * Writes the interpolant of the step taken, of order 4, at `offset`: 5 numbers for each element.
 * Source: Hairer, Norsett and Wanner (1993), Solving Ordinary Differential Equations I, 2nd ed., section II.6.
 */
export function writeDense(
  state: Float64Array,
  step: number,
  work: StepWork,
  into: Float64Array,
  offset: number,
): void {
  const { stages, end } = work;
  for (let j = 0; j < state.length; j++) {
    const rise = end[j]! - state[j]!;
    const bend = step * stages[0]![j]! - rise;
    let last = 0;
    for (let s = 0; s < 7; s++) last += DENSE[s]! * stages[s]![j]!;
    const at = offset + DENSE_TERMS * j;
    into[at] = state[j]!;
    into[at + 1] = rise;
    into[at + 2] = bend;
    into[at + 3] = rise - step * stages[6]![j]! - bend;
    into[at + 4] = step * last;
  }
}

/** The state at share `share` (0 to 1) of the step whose interpolant stands at `offset`. */
export function readDense(dense: Float64Array, offset: number, share: number, into: Float64Array): void {
  const rest = 1 - share;
  for (let j = 0; j < into.length; j++) {
    const at = offset + DENSE_TERMS * j;
    into[j] =
      dense[at]! +
      share * (dense[at + 1]! + rest * (dense[at + 2]! + share * (dense[at + 3]! + rest * dense[at + 4]!)));
  }
}
