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

interface Group {
  readonly spellings: string[];
  /** The golfer of the dataset whose name one of the spellings is, or is near to. */
  readonly code: string | null;
}

/**
 * One entry for each golfer. A code stays as it is; a name that an earlier import gave a code keeps it, and another gets a
 * code that is free, in the order in which they come. Spellings that differ little are put into one entry, which asks
 * whether they are one golfer.
 *
 * @param names as they stand, each once, in order
 * @param known golfers of the dataset, with the side they play from
 * @param earlier the code of each spelling that an import took before
 */
export function proposeGolfers(
  names: readonly string[],
  hasPlays: boolean,
  known: ReadonlySet<string>,
  earlier: ReadonlyMap<string, string> = new Map(),
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
  const codes = names.every((name) => CODE.test(name));
  const groups = codes ? sameCodes(names) : sameNames(names, earlier);
  let number = 0;
  const taken = new Set([...known, ...(codes ? names : [])]);
  const freeCode = () => {
    do number += 1;
    while (taken.has(`G${String(number).padStart(2, '0')}`));
    return `G${String(number).padStart(2, '0')}`;
  };
  return groups.map(({ spellings, code }) => {
    const id = code ?? (codes ? (spellings.find((name) => known.has(name)) ?? spellings[0]!) : freeCode());
    const isKnown = known.has(id);
    const unsure =
      (spellings.length > 1 || code !== null) && !spellings.every((name) => isEarlier(name, code));
    return {
      golfer_id: id,
      written: spellings,
      ...(unsure ? { same: ASK } : {}),
      plays: isKnown || hasPlays ? null : ASK,
      status: isKnown ? 'known' : 'new',
      reason: reasonFor(spellings, code, unsure),
    };
  });

  function isEarlier(name: string, code: string | null): boolean {
    return code !== null && earlier.get(name) === code;
  }

  function reasonFor(spellings: readonly string[], code: string | null, unsure: boolean): string {
    const all = spellings.map((name) => `'${name}'`).join(' and ');
    if (code !== null && !unsure) return `this name is ${code} since an earlier import`;
    if (code !== null) {
      const before = [...earlier].filter(([, id]) => id === code).map(([name]) => `'${name}'`);
      return `an earlier import took ${before.join(' and ')} as ${code}, which differs little, so they are proposed to be one golfer`;
    }
    const elsewhere =
      !codes && known.size > 0
        ? '; if the dataset has this golfer, write that code and the status known'
        : '';
    if (spellings.length > 1)
      return `${all} differ little, so they are proposed to be one golfer${elsewhere}`;
    return `${codes ? 'a code already' : 'a code in place of the name'}${elsewhere}`;
  }
}

function sameCodes(names: readonly string[]): readonly Group[] {
  const groups = new Map<string, Group>();
  for (const name of names) {
    const key = folded(name).replace(/(?<!\d)0+(?=\d)/g, '');
    const group = groups.get(key);
    if (group === undefined) groups.set(key, { spellings: [name], code: null });
    else group.spellings.push(name);
  }
  return [...groups.values()];
}

function sameNames(names: readonly string[], earlier: ReadonlyMap<string, string>): readonly Group[] {
  const groups: Group[] = [];
  const byKey = new Map<string, Group>();
  const byCode = new Map<string, Group>();
  const codeOfKey = new Map([...earlier].map(([name, code]) => [nameKey(name), code]));
  const ofCode = (code: string | undefined): Group | undefined => {
    if (code === undefined) return undefined;
    const group = byCode.get(code) ?? added({ spellings: [], code });
    byCode.set(code, group);
    return group;
  };
  const added = (group: Group): Group => {
    groups.push(group);
    return group;
  };
  const seek = names.length <= 2000;
  for (const name of names) {
    const key = nameKey(name);
    // A spelling that an earlier import took is whose it was then, however near another is.
    const group =
      ofCode(earlier.get(name)) ??
      byKey.get(key) ??
      ofCode(codeOfKey.get(key)) ??
      (seek ? (near(key, byKey) ?? ofCode(near(key, codeOfKey))) : undefined) ??
      added({ spellings: [], code: null });
    group.spellings.push(name);
    if (!byKey.has(key)) byKey.set(key, group);
  }
  return groups;
}

function near<T>(key: string, groups: ReadonlyMap<string, T>): T | undefined {
  if (key.length < 5 || /\d/.test(key)) return undefined;
  const other = nearest(key, groups.keys());
  // A shorter name may be another person; only letters mistyped are near.
  return other === null || Math.abs(other.length - key.length) > 2 ? undefined : groups.get(other);
}
