import { folded, nearest } from '../read/nearest.ts';
import { ASK, type GolferMap } from './mapping.ts';

const CODE = /^\p{L}{1,4}[-_ ]?\d{1,6}$/u;

/** A name with what two spellings of it may differ in taken out: accents, case, marks, the order of its parts. */
function nameKey(name: string): string {
  return name
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .split(/[^\p{L}\p{N}]+/u)
    .filter((part) => part !== '')
    .sort()
    .join('');
}

/**
 * One entry for each golfer. A code stays as it is; a name gets a code that is free, in the order in which they come.
 * Spellings that differ little are put into one entry, which asks whether they are one golfer.
 *
 * @param names as they stand, each once, in order
 * @param known golfers of the dataset, with the side they play from
 */
export function proposeGolfers(
  names: readonly string[],
  hasPlays: boolean,
  known: ReadonlySet<string>,
): readonly GolferMap[] {
  if (names.length === 0)
    return [
      {
        golfer_id: ASK,
        written: [],
        plays: ASK,
        status: 'new',
        reason: 'no column names a golfer, so the whole file is of one',
      },
    ];
  const groups: { spellings: string[]; key: string }[] = [];
  const byKey = new Map<string, { spellings: string[]; key: string }>();
  const codes = names.every((name) => CODE.test(name));
  for (const name of names) {
    const key = codes ? folded(name).replace(/(?<!\d)0+(?=\d)/g, '') : nameKey(name);
    const group = byKey.get(key) ?? (codes || names.length > 2000 ? undefined : near(key, byKey));
    if (group !== undefined) group.spellings.push(name);
    else {
      const fresh = { spellings: [name], key };
      groups.push(fresh);
      byKey.set(key, fresh);
    }
  }
  let number = 0;
  const taken = new Set([...known, ...(codes ? names : [])]);
  const freeCode = () => {
    do number += 1;
    while (taken.has(`G${String(number).padStart(2, '0')}`));
    return `G${String(number).padStart(2, '0')}`;
  };
  return groups.map(({ spellings }) => {
    const id = codes ? (spellings.find((name) => known.has(name)) ?? spellings[0]!) : freeCode();
    const isKnown = known.has(id);
    const spelt =
      spellings.length > 1
        ? `${spellings.map((name) => `'${name}'`).join(' and ')} differ little, so they are proposed to be one golfer`
        : codes
          ? 'a code already'
          : 'a code in place of the name';
    const elsewhere =
      !codes && known.size > 0
        ? '; if the dataset has this golfer, write that code and the status known'
        : '';
    return {
      golfer_id: id,
      written: spellings,
      ...(spellings.length > 1 ? { same: ASK } : {}),
      plays: isKnown || hasPlays ? null : ASK,
      status: isKnown ? 'known' : 'new',
      reason: spelt + elsewhere,
    };
  });
}

function near<T>(key: string, groups: ReadonlyMap<string, T>): T | undefined {
  if (key.length < 5 || /\d/.test(key)) return undefined;
  const other = nearest(key, groups.keys());
  // A shorter name may be another person; only letters mistyped are near.
  return other === null || Math.abs(other.length - key.length) > 2 ? undefined : groups.get(other);
}
