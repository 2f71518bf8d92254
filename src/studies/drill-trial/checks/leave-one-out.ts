import { moments } from '../../../stats/index.ts';
import type { Sensitivity } from '../../finding.ts';
import { verdictOf } from '../../shared/standing.ts';
import { amount, list } from '../../shared/words.ts';
import type { Effect } from '../analysis/effect.ts';
import { golferMeans } from '../analysis/golfer-means.ts';
import { comparedRows } from '../analysis/main-analysis.ts';
import type { SwingGroup } from '../input/trial-data.ts';
import { effectUnder, entry, type SensitivityRequest, verdictUnder } from './sensitivity-entry.ts';

/** Refits are made for as many golfers as this; a larger trial is scanned where it can move. */
const MOST_REFITS = 60;
/** Among more golfers than this no one of them carries the answer, and fewer are tried. */
export const MANY_GOLFERS = 500;
const REFITS_OF_MANY = 12;
/** Among thousands one golfer weighs next to nothing, and each refit is dear: the very farthest are tried. */
const THOUSANDS = 5000;
const REFITS_OF_THOUSANDS = 3;

/**
 * Each golfer's deletion is a full refit of estimate and standard error. For speed the interval of a scan takes its
 * width per standard error from the main fit; the refit that is shown has its own small-sample interval.
 */
export function deleteGolfers(request: SensitivityRequest): Sensitivity | null {
  const compared = comparedRows(request.rows, request.main.design);
  const golfers = [...new Set(compared.map((row) => row.golfer))].sort();
  if (golfers.length < 4) return null;
  const scan: SensitivityRequest = { ...request, main: { ...request.main, degreesOfFreedom: 'normal' } };
  const width = widthPerError(request.effect, effectUnder(scan, scan.rows));
  if (width === null) return null;
  const tried = farthestGolfers(compared, golfers);
  const verdict = verdictUnder(request, request.effect);
  let most: { golfer: string; move: number } | null = null;
  const changed: string[] = [];
  let unfitted = 0;
  for (const golfer of tried) {
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
        : `The verdict changes without any one of ${changed.length} of the ${tried.length} golfers tried: it stands on the border.`;
  const failed = unfitted === 0 ? '' : ` The model could not be refitted without ${unfitted} of them.`;
  return entry(
    request,
    'leave one golfer out',
    `Refitted ${tried.length - unfitted} times, each time without one golfer${
      tried.length < golfers.length
        ? ` (of ${golfers.length}: those whose change lies farthest from the mean change of their arm)`
        : ''
    }; shown is the refit that moves the estimate most.`,
    effectUnder(request, without(request.rows, golfer)),
    (decimals) =>
      `The golfer who moves the estimate most is ${golfer}: without ${golfer} it moves by ${amount(move, request.unit, decimals)}. ${verdicts}${failed}`,
  );
}

/** All golfers of an ordinary trial; in a large one those who can move the estimate most. */
function farthestGolfers(compared: readonly SwingGroup[], golfers: readonly string[]): readonly string[] {
  if (golfers.length <= MOST_REFITS) return golfers;
  const most =
    golfers.length > THOUSANDS
      ? REFITS_OF_THOUSANDS
      : golfers.length > MANY_GOLFERS
        ? REFITS_OF_MANY
        : MOST_REFITS;
  const armOf = new Map(compared.map((row) => [row.golfer, row.arm]));
  const changes = new Map<string, number>();
  for (const [golfer, own] of golferMeans(compared, (row) => row.phase)) {
    const [before, after] = [own.get('baseline')?.mean, own.get('post')?.mean];
    if (after !== undefined) changes.set(golfer, after - (before ?? 0));
  }
  const ofArm = (arm: string) =>
    moments([...changes].filter(([golfer]) => armOf.get(golfer) === arm).map(([, change]) => change));
  const middles = new Map([...new Set(armOf.values())].map((arm) => [arm, ofArm(arm)?.mean ?? 0]));
  const distance = (golfer: string) => {
    const change = changes.get(golfer);
    return change === undefined ? 0 : Math.abs(change - middles.get(armOf.get(golfer)!)!);
  };
  return [...golfers].sort((a, b) => distance(b) - distance(a)).slice(0, most);
}

function without(rows: readonly SwingGroup[], golfer: string): SwingGroup[] {
  return rows.filter((row) => row.golfer !== golfer);
}

function widthPerError(main: Effect, plain: Effect): number | null {
  if (main.interval === null || plain.standardError === null) return null;
  return (main.interval[1] - main.interval[0]) / 2 / plain.standardError;
}
