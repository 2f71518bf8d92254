import { createHmac } from 'node:crypto';

/** Digits and capitals without I, L, O and U, which are misread or make words (Crockford's base 32). */
const ALPHABET = '0123456789ABCDEFGHJKMNPQRSTVWXYZ';

export type CodeKind = 'golfer' | 'instructor' | 'session' | 'swing';

/** A letter first: a spreadsheet would take 12E456 for a number. */
const FIRST: Readonly<Record<CodeKind, string>> = { golfer: 'P', instructor: 'T', session: 'S', swing: 'W' };
const SHORTEST: Readonly<Record<CodeKind, number>> = { golfer: 6, instructor: 6, session: 4, swing: 4 };
/** 51 letters of five bits use up the 256 bits of the hash. */
const LONGEST = 51;
/** Sixty bits: that two ids of a million share so many happens less than once in a million datasets. */
const LONGEST_IN_USE = 12;

/** HMAC-SHA-256 (RFC 2104, FIPS 198-1) of what the id is and the id, so that a session G1 is no golfer G1. */
function digest(key: Uint8Array, kind: string, id: string): Buffer {
  return createHmac('sha256', key)
    .update(`${kind}\0${id.normalize('NFC')}`, 'utf8')
    .digest();
}

function letters(bytes: Uint8Array): string {
  let text = '';
  let held = 0;
  let bits = 0;
  for (const byte of bytes) {
    held = (held << 8) | byte;
    bits += 8;
    while (bits >= 5) {
      bits -= 5;
      text += ALPHABET[(held >> bits) & 31]!;
    }
    held &= (1 << bits) - 1;
  }
  return text;
}

/**
 * Codes for ids, the same for the same key and ids: a letter and the beginning of the keyed hash, six characters of it
 * for a golfer, as P4K7QM2. Ids whose codes would be the same all get longer ones, as long as it takes.
 *
 * @param key the secret; without it nobody can find the id to a code, nor the code to an id
 * @throws Error when two ids differ only in how their accents are composed
 * @example codesFor(new Uint8Array(32).fill(7), 'golfer', ['G01', 'G02']).get('G01') // 'P…'
 */
export function codesFor(
  key: Uint8Array,
  kind: CodeKind,
  ids: Iterable<string>,
): ReadonlyMap<string, string> {
  return shortestApart(
    [...new Set(ids)],
    SHORTEST[kind],
    (id) => letters(digest(key, kind, id)),
    FIRST[kind],
  );
}

/**
 * Codes for what belongs to something that has a code: a session of a golfer, a swing of a session. Each is the owner's
 * code, a hyphen and a code that is short since it need only be apart within the owner.
 */
export function codesWithin(
  key: Uint8Array,
  kind: 'session' | 'swing',
  ids: readonly (string | null)[],
  owners: readonly (string | null)[],
  ownerCodes: ReadonlyMap<string, string>,
): ReadonlyMap<string, string> {
  const byOwner = new Map<string, string[]>();
  ids.forEach((id, row) => {
    const owner = owners[row] ?? '';
    if (id === null) return;
    const list = byOwner.get(owner);
    if (list === undefined) byOwner.set(owner, [id]);
    else list.push(id);
  });
  const codes = new Map<string, string>();
  for (const [owner, own] of byOwner)
    for (const [id, code] of codesFor(key, kind, own)) codes.set(id, `${ownerCodes.get(owner)}-${code}`);
  return codes;
}

/** The work of {@link codesFor}, with any source of letters. */
export function shortestApart(
  ids: readonly string[],
  shortest: number,
  lettersOf: (id: string) => string,
  first: string,
): ReadonlyMap<string, string> {
  const codes = new Map<string, string>();
  let open = ids.map((id) => ({ id, all: lettersOf(id) }));
  for (let length = shortest; open.length > 0; length += 1) {
    const groups = new Map<string, { id: string; all: string }[]>();
    for (const entry of open) {
      const code = entry.all.slice(0, length);
      const group = groups.get(code);
      if (group === undefined) groups.set(code, [entry]);
      else group.push(entry);
    }
    if (length > LONGEST)
      throw new Error(
        `codesFor: ${open[0]?.id} and ${open[1]?.id} are one id. Give the two different codes first.`,
      );
    open = [];
    for (const [code, group] of groups)
      if (group.length === 1) codes.set(group[0]!.id, first + code);
      else for (const entry of group) open.push(entry);
  }
  return codes;
}

/**
 * Every code of up to 12 letters that an id may ever have had under a key: which one it was depended on the other ids
 * of the dataset.
 *
 * @example possibleCodes(new Uint8Array(32).fill(7), 'golfer', 'G01') // ['P…', 'P…', ...]: each a letter longer than the one before
 */
export function possibleCodes(key: Uint8Array, kind: CodeKind, id: string): readonly string[] {
  const all = letters(digest(key, kind, id));
  const codes: string[] = [];
  for (let length = SHORTEST[kind]; length <= LONGEST_IN_USE; length += 1)
    codes.push(FIRST[kind] + all.slice(0, length));
  return codes;
}

/** A key that follows from another and gives no way back to it, so that what is handed on has codes of its own. */
export function derivedKey(key: Uint8Array, purpose: string): Uint8Array {
  return digest(key, 'key', purpose);
}
