import type { PlanProblem } from '../plan-problem.ts';
import { fitsSeal, type OpenedEntry, openEntry, type SealedList } from './sealed-list.ts';

/** The entries that were opened, or every reason why none was. */
export type OpenOutcome =
  | { readonly ok: true; readonly opened: readonly OpenedEntry[] }
  | { readonly ok: false; readonly problems: readonly PlanProblem[] };

/**
 * Opens entries for golfers in the order they are entered: each takes the next entry of its stratum. A golfer who has one
 * already, a golfer without a stratum, a seed that does not fit and an opened entry that was altered are problems in words;
 * then nothing is opened.
 *
 * @param seed the one that the list was sealed with
 * @param golfers ids of those who are entered now, in their order
 * @param strata the stratum of each golfer, as `strataOf` gives it
 * @param before entries that were opened earlier
 * @example
 * const seed = 8214007315529;
 * const list = sealList({ seed, trial: 'T1', arms: ['drill', 'control'], rules: [], plan: sha256Hex('{}'), counts: new Map([['all', 2]]) });
 * const strata = new Map([['G01', 'all'], ['G02', 'all']]);
 * const outcome = openFor(list, seed, ['G01', 'G02'], strata, []);
 * outcome.ok && outcome.opened.map(({ golfer_id, place }) => `${golfer_id} ${place}`) // ['G01 1', 'G02 2']
 * openFor(list, seed + 1, ['G01'], strata, []).ok // false: not the seed of this list
 */
export function openFor(
  list: SealedList,
  seed: number,
  golfers: readonly string[],
  strata: ReadonlyMap<string, string>,
  before: readonly OpenedEntry[],
): OpenOutcome {
  const problems = alteredEntries(list, before);
  const taken = new Map(before.map((entry) => [entry.golfer_id, entry]));
  const next = new Map<string, number>();
  for (const { stratum, place } of before) next.set(stratum, Math.max(next.get(stratum) ?? 0, place));
  const opened: OpenedEntry[] = [];
  for (const golfer_id of golfers) {
    const stratum = strata.get(golfer_id);
    const seals = list.strata.find((own) => own.stratum === stratum)?.seals.length ?? 0;
    const place = (next.get(stratum ?? '') ?? 0) + 1;
    const earlier = taken.get(golfer_id);
    if (earlier !== undefined)
      problems.push(
        problem(
          golfer_id,
          `an entry opened already: ${earlier.arm}`,
          'a golfer who has none',
          'Keep it; an entry is opened once.',
        ),
      );
    else if (stratum === undefined)
      problems.push(
        problem(
          golfer_id,
          'no such golfer in golfers.csv',
          'a golfer of the dataset',
          'Enter the golfer first.',
        ),
      );
    else if (place > seals)
      problems.push(
        problem(
          golfer_id,
          seals === 0
            ? `a stratum the list does not have: ${stratum}`
            : `all ${seals} entries of the stratum ${stratum} opened`,
          'an entry that is still sealed',
          'Complete what golfers.csv says of the golfer, or seal a new list for those who come now, and say so in the plan.',
        ),
      );
    else {
      const entry = openEntry(list, seed, { golfer_id, stratum, place });
      if (entry === null)
        return {
          ok: false,
          problems: [
            ...problems,
            problem(
              '--seed',
              'a seed with which this list was not sealed, or a list that was altered',
              'the seed of the list',
              'Ask whoever keeps it.',
            ),
          ],
        };
      next.set(stratum, place);
      taken.set(golfer_id, entry);
      opened.push(entry);
    }
  }
  return problems.length > 0 ? { ok: false, problems } : { ok: true, opened };
}

/** Entries opened earlier that are not what was sealed, or not in order. */
function alteredEntries(list: SealedList, before: readonly OpenedEntry[]): PlanProblem[] {
  const problems = before
    .filter((entry) => !fitsSeal(list, entry))
    .map((entry) =>
      problem(
        `the entry of ${entry.golfer_id}`,
        `${entry.arm} at place ${entry.place} of ${entry.stratum}, which is not what was sealed`,
        'the entry as it was opened',
        'Go back to the file as it was written; what it says cannot be changed.',
      ),
    );
  for (const stratum of new Set(before.map((entry) => entry.stratum))) {
    const places = before
      .filter((entry) => entry.stratum === stratum)
      .map(({ place }) => place)
      .sort((a, b) => a - b);
    const gap = places.findIndex((place, k) => place !== k + 1);
    if (gap >= 0)
      problems.push(
        problem(
          `the stratum ${stratum}`,
          `the entry at place ${gap + 1} ${places[gap] === places[gap - 1] ? 'opened twice' : 'passed over'}`,
          'entries opened one after the other',
          'Put back the file of that entry.',
        ),
      );
  }
  return problems;
}

function problem(where: string, found: string, expected: string, remedy: string): PlanProblem {
  return { where, found, expected, remedy };
}
