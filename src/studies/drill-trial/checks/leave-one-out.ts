import type { Sensitivity } from '../../finding.ts';
import type { Effect } from '../analysis/effect.ts';
import { comparedRows } from '../analysis/main-analysis.ts';
import { verdictOf } from '../analysis/verdict.ts';
import type { TrialRow } from '../input/trial-data.ts';
import { amount, list } from '../wording/words.ts';
import { effectUnder, entry, type SensitivityRequest, verdictUnder } from './sensitivity-entry.ts';

/**
 * Each golfer's deletion is a full refit of estimate and standard error. For speed the interval of a scan takes its
 * width per standard error from the main fit; the refit that is shown has its own small-sample interval.
 */
export function deleteGolfers(request: SensitivityRequest): Sensitivity | null {
  const golfers = [
    ...new Set(comparedRows(request.rows, request.main.design).map((row) => row.golfer)),
  ].sort();
  if (golfers.length < 4) return null;
  const scan: SensitivityRequest = { ...request, main: { ...request.main, degreesOfFreedom: 'normal' } };
  const width = widthPerError(request.effect, effectUnder(scan, scan.rows));
  if (width === null) return null;
  const verdict = verdictUnder(request, request.effect);
  let most: { golfer: string; move: number } | null = null;
  const changed: string[] = [];
  let unfitted = 0;
  for (const golfer of golfers) {
    const { value, standardError } = effectUnder(scan, without(request.rows, golfer));
    if (value === null || standardError === null) {
      unfitted += 1;
      continue;
    }
    const interval = [value - width * standardError, value + width * standardError] as const;
    if (request.smallest !== null && verdictOf(interval, request.smallest) !== verdict) changed.push(golfer);
    const move = value - request.effect.value!;
    if (most === null || Math.abs(move) > Math.abs(most.move)) most = { golfer, move };
  }
  if (most === null) return null;
  const { golfer, move } = most;
  const verdicts =
    changed.length === 0
      ? 'No single golfer changes the verdict.'
      : changed.length <= 5
        ? `The verdict changes without ${list(changed)}${changed.length === 1 ? '' : ', each on their own'}.`
        : `The verdict changes without any one of ${changed.length} of the ${golfers.length} golfers: it stands on the border.`;
  const failed = unfitted === 0 ? '' : ` The model could not be refitted without ${unfitted} of them.`;
  return entry(
    request,
    'leave one golfer out',
    `Refitted ${golfers.length - unfitted} times, each time without one golfer; shown is the refit that moves the estimate most.`,
    effectUnder(request, without(request.rows, golfer)),
    (decimals) =>
      `The golfer who moves the estimate most is ${golfer}: without ${golfer} it moves by ${amount(move, request.unit, decimals)}. ${verdicts}${failed}`,
  );
}

function without(rows: readonly TrialRow[], golfer: string): TrialRow[] {
  return rows.filter((row) => row.golfer !== golfer);
}

function widthPerError(main: Effect, plain: Effect): number | null {
  if (main.interval === null || plain.standardError === null) return null;
  return (main.interval[1] - main.interval[0]) / 2 / plain.standardError;
}
