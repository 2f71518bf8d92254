import { createStream } from '../../numerics/index.ts';
import { canonicalJson } from '../canonical-json.ts';
import { sha256Hex } from '../hash.ts';
import { blockedArms } from './blocks.ts';
import type { StratumRule } from './strata.ts';

/** The list as everybody may see it: what each entry holds is sealed, and cannot be altered without breaking its seal. */
export interface SealedList {
  readonly kind: 'sealed allocation';
  readonly format: 1;
  readonly trial: string;
  readonly arms: readonly string[];
  readonly rules: readonly StratumRule[];
  /** The SHA-256 of the plan's canonical form. */
  readonly plan: string;
  readonly strata: readonly {
    readonly stratum: string;
    /** In the order in which golfers of the stratum are entered: the SHA-256 of stratum, place, arm and salt. */
    readonly seals: readonly string[];
  }[];
}

/** What an entry held: whoever has the sealed list can check it. */
export interface OpenedEntry {
  readonly golfer_id: string;
  readonly stratum: string;
  /** 1 for the first golfer of the stratum. */
  readonly place: number;
  readonly arm: string;
  readonly salt: string;
}

/** Entries beyond the golfers that are there, as a multiple of them, for those who come later. */
const ROOM = 2;
const LEAST = 12;

/**
 * Seals an allocation list: in each stratum permuted blocks of varying size from a stream of its own. The seed makes the
 * list again, so it is the key: it is not in the list, and who enters golfers must not know it.
 *
 * @param counts golfers there are in each stratum
 * @example
 * const list = { trial: 'T1', arms: ['drill', 'control'], rules: [], plan: sha256Hex('{}'), counts: new Map([['all', 20]]) };
 * sealList({ seed: 8214007315529, ...list }).trial // 'T1'
 */
export function sealList(request: {
  readonly seed: number;
  readonly trial: string;
  readonly arms: readonly string[];
  readonly rules: readonly StratumRule[];
  readonly plan: string;
  readonly counts: ReadonlyMap<string, number>;
}): SealedList {
  const { seed, trial, arms, rules, plan, counts } = request;
  return {
    kind: 'sealed allocation',
    format: 1,
    trial,
    arms,
    rules,
    plan,
    strata: [...counts].sort(byName).map(([stratum, count]) => {
      const entries = armsOf(seed, arms, stratum, Math.max(LEAST, ROOM * count)).flat();
      return {
        stratum,
        seals: entries.map((arm, k) =>
          sealOf({ stratum, place: k + 1, arm, salt: saltOf(seed, stratum, k + 1) }),
        ),
      };
    }),
  };
}

/**
 * The blocks of a stratum, as they are made from the seed: in each every arm equally often.
 *
 * @param least entries that the blocks together must have
 * @example
 * const blocks = armsOf(8214007315529, ['drill', 'control'], 'all', 12);
 * blocks.flat().length >= 12 // true
 * blocks.every((block) => block.filter((arm) => arm === 'drill').length === block.length / 2) // true
 */
export function armsOf(seed: number, arms: readonly string[], stratum: string, least: number): string[][] {
  return blockedArms(createStream(seed, 'allocation', stratum), arms, least);
}

/**
 * Opens the next entry of a stratum for a golfer; null where the seed is not the one the list was sealed with.
 *
 * @throws Error when the list has no such entry; ask `seals.length` first
 * @example
 * const list = sealList({ seed: 8214007315529, trial: 'T1', arms: ['drill', 'control'], rules: [], plan: sha256Hex('{}'), counts: new Map([['all', 2]]) });
 * const first = { golfer_id: 'G01', stratum: 'all', place: 1 };
 * openEntry(list, 8214007315529, first)?.arm === armsOf(8214007315529, ['drill', 'control'], 'all', 12).flat()[0] // true
 * openEntry(list, 1, first) // null
 */
export function openEntry(
  list: SealedList,
  seed: number,
  { golfer_id, stratum, place }: Pick<OpenedEntry, 'golfer_id' | 'stratum' | 'place'>,
): OpenedEntry | null {
  const seals = list.strata.find((own) => own.stratum === stratum)?.seals ?? [];
  if (place < 1 || place > seals.length)
    throw new Error(`openEntry: '${stratum}' has ${seals.length} entries, not ${place}. Seal a longer list.`);
  const arm = armsOf(seed, list.arms, stratum, seals.length).flat()[place - 1]!;
  const opened = { golfer_id, stratum, place, arm, salt: saltOf(seed, stratum, place) };
  return fitsSeal(list, opened) ? opened : null;
}

/**
 * Whether an opened entry is what was sealed.
 *
 * @example
 * const list = sealList({ seed: 8214007315529, trial: 'T1', arms: ['drill', 'control'], rules: [], plan: sha256Hex('{}'), counts: new Map([['all', 2]]) });
 * const entry = openEntry(list, 8214007315529, { golfer_id: 'G01', stratum: 'all', place: 1 })!;
 * fitsSeal(list, entry) // true
 * fitsSeal(list, { ...entry, arm: entry.arm === 'drill' ? 'control' : 'drill' }) // false
 */
export function fitsSeal(list: SealedList, entry: OpenedEntry): boolean {
  const seals = list.strata.find(({ stratum }) => stratum === entry.stratum)?.seals;
  return seals?.[entry.place - 1] === sealOf(entry);
}

function sealOf({ stratum, place, arm, salt }: Omit<OpenedEntry, 'golfer_id'>): string {
  return sha256Hex(canonicalJson({ stratum, place, arm, salt }));
}

/** 106 random bits of the entry's own, so that a seal cannot be broken by trying the arms. */
function saltOf(seed: number, stratum: string, place: number): string {
  const stream = createStream(seed, 'salt', stratum, place);
  const part = () => stream.integer(0, Number.MAX_SAFE_INTEGER).toString(16).padStart(14, '0');
  return part() + part();
}

function byName([a]: readonly [string, number], [b]: readonly [string, number]): number {
  return a < b ? -1 : 1;
}
