import type { StudyProblem } from '../study.ts';
import { FEWEST_GOLFERS, MOST_GOLFERS } from './find-size.ts';
import type { PlanInput } from './plan-input.ts';
import { problem } from './plan-problem.ts';

const RANGES = [
  ['golfers', FEWEST_GOLFERS, MOST_GOLFERS, true],
  ['sessions', 1, 6, true],
  ['swings', 2, 100, true],
  ['leaving', 0, 0.6, false],
  ['chance', 0.5, 0.99, false],
  ['draws', 200, 100_000, true],
  ['workers', 1, 64, true],
  ['change', 0, Number.MAX_VALUE, false],
  ['changeSd', 0, Number.MAX_VALUE, false],
] as const;

export function rangeProblems(input: PlanInput): StudyProblem[] {
  return RANGES.flatMap(([name, low, high, whole]) => {
    const value = input[name];
    const fits =
      value === undefined ||
      (value >= low &&
        value <= high &&
        (!whole || Number.isInteger(value)) &&
        (name !== 'change' || value > 0));
    if (fits) return [];
    const range = high === Number.MAX_VALUE ? `above ${low}` : `from ${low} to ${high}`;
    return [
      problem(
        `--${name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)}`,
        String(value),
        `${whole ? 'a whole number' : 'a number'} ${range}`,
        'Correct the value.',
      ),
    ];
  });
}
