import type { Rates } from './dormand-prince.ts';
import type { EventFunction } from './locate-event.ts';

/**
 * What `solveMotion` follows: y' = rates(t, y) from the state `start` at time `from` to time `to`, in whatever unit
 * of time the rates have.
 */
export interface MotionProblem {
  readonly rates: Rates;
  readonly start: Float64Array;
  readonly from: number;
  readonly to: number;
  /** Times between `from` and `to`, ascending, where the rates are not smooth: a step ends exactly on each. */
  readonly breaks?: readonly number[];
  readonly events?: readonly EventFunction[];
  /** Error tolerated per step, relative to the size of each element; 1e-9 unless given. */
  readonly relativeTolerance?: number;
  /** Error tolerated per step where an element is near zero; 1e-12 unless given. */
  readonly absoluteTolerance?: number;
  readonly largestStep?: number;
  /** Steps, tried ones included, after which it gives up; 100 000 unless given. */
  readonly mostSteps?: number;
}

export function checkProblem(problem: MotionProblem): void {
  const { start, from, to, breaks = [] } = problem;
  if (start.length === 0 || !start.every(Number.isFinite))
    throw new Error('solveMotion: the start must have at least one element, all of them finite numbers.');
  if (!(Number.isFinite(from) && Number.isFinite(to) && to > from))
    throw new Error(
      `solveMotion: from ${from} to ${to} is not a span; give two finite times, the later second.`,
    );
  const corners = [from, ...breaks, to];
  if (corners.some((corner, k) => k > 0 && !(corner > corners[k - 1]!)))
    throw new Error(
      'solveMotion: breaks must ascend and lie strictly between from and to; sort and trim them.',
    );
  for (const option of ['relativeTolerance', 'absoluteTolerance', 'largestStep', 'mostSteps'] as const) {
    const given = problem[option];
    if (given !== undefined && !(given > 0)) throw new Error(`solveMotion: ${option} must be above 0.`);
  }
}
