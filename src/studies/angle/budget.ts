import type { CaptureResult, ErrorBudget } from '../../kinematics/index.ts';
import type { AngleTables } from '../angle-tables.ts';
import type { Check, FindingEstimate } from '../finding.ts';
import { ASSUMED_NOISE_MM } from './angle-finding-input.ts';
import { degrees } from './answer-words.ts';

type Budget = CaptureResult<ErrorBudget>;

/** The angles of the row with the interval that marker noise leaves of them. */
export function budgetEstimates(
  budget: Budget,
  row: number,
  noise_mm: number | undefined,
): FindingEstimate[] {
  if (!budget.ok) return [];
  return budget.value.angles.map(({ angle, value_deg, sd_deg }) => ({
    key: `angle-${angle.replace('_deg', '')}`,
    name: `${angle.replace('_deg', '')} in row ${row}`,
    value: value_deg,
    interval: [value_deg - 1.959964 * sd_deg, value_deg + 1.959964 * sd_deg],
    level: 0.95,
    unit: 'deg',
    degreesOfFreedom: null,
    unsigned: true,
    meaning: `Worked out from the points; the interval is what ${noise_mm ?? ASSUMED_NOISE_MM} mm of noise in every coordinate (${noise_mm === undefined ? 'assumed' : 'given'}) leaves of it.`,
  }));
}

/** Where noise is too large for the first order, or could not be carried through. */
export function budgetChecks(budget: Budget): Check[] {
  if (!budget.ok)
    return [
      {
        name: 'error budget',
        outcome: 'not-possible',
        words: budget.problems.map(({ remedy }) => remedy).join(' '),
      },
    ];
  return budget.value.angles
    .filter(({ firstOrderHolds }) => !firstOrderHolds)
    .map(({ angle, bias_deg }) => ({
      name: `first order of ${angle.replace('_deg', '')}`,
      outcome: 'look',
      words: `Noise of this size also shifts it by about ${degrees(bias_deg)}: the angle bends sharply where it stands, and its interval is rough.`,
    }));
}

/** How much of each angle's noise each coordinate of each marker brings; null where it could not be worked out. */
export function budgetTable(budget: Budget, noise_mm: number | undefined): AngleTables['budget'] {
  if (!budget.ok) return null;
  return {
    noise_mm: budget.value.noise_mm,
    assumed: noise_mm === undefined,
    entries: budget.value.angles.flatMap(({ angle, entries }) =>
      entries.map(({ marker, axis, slope_deg_per_mm, sd_deg, share }) => ({
        angle: angle.replace('_deg', ''),
        marker,
        axis,
        degreesPerMm: tidy(slope_deg_per_mm),
        sd: tidy(sd_deg),
        share: tidy(share),
      })),
    ),
  };
}

/** What is left of a zero after rounding is a zero. */
function tidy(value: number): number {
  return Math.abs(value) < 1e-12 ? 0 : value;
}
