import type { Problem } from '../problem.ts';
import { type NumberLimits, rangeWords } from './number-limits.ts';

const MISSING_CODES: ReadonlySet<number> = new Set([
  -9, -99, -999, -9999, -99999, 99, 999, 9999, 99999, 999999,
]);

type Judgement = Pick<Problem, 'kind' | 'severity' | 'expected' | 'remedy'>;

const inside = (value: number, range: readonly [number, number]) => value >= range[0] && value <= range[1];

/**
 * What is wrong with a number that was read, or null when it is an ordinary value. Outside what is
 * possible is an error; outside what is plausible a warning; what looks like a code for a missing value
 * or like another unit says so.
 */
export function judgeNumber(value: number, limits: NumberLimits): Judgement | null {
  if (inside(value, limits.plausible) && inside(value, limits.possible)) return null;
  const possible = inside(value, limits.possible);
  const zeroForMissing = value === 0 && (limits.exactZero === 'unlikely' || !possible);
  const severity = possible && !zeroForMissing ? 'warning' : 'error';
  const expected = possible
    ? `${rangeWords(limits.plausible, limits.unit)} as a rule`
    : rangeWords(limits.possible, limits.unit);
  if (zeroForMissing || MISSING_CODES.has(value))
    return {
      kind: 'suspect-missing-code',
      severity,
      expected,
      remedy: `Leave the cell empty where the value is missing; ${value} would be taken for a measurement.`,
    };
  const reading = limits.suspect.find((rule) => rule.cellBetween && inside(value, rule.cellBetween));
  if (reading !== undefined)
    return {
      kind: 'suspect-unit',
      severity,
      expected,
      remedy: `It looks like ${reading.reads}. ${reading.remedy}`,
    };
  const remedy = possible
    ? 'Check the value against the recording; if it is right, leave it.'
    : 'Correct the value, or leave the cell empty.';
  return { kind: 'out-of-range', severity, expected, remedy };
}
