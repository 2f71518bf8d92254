/** Text with what people vary without meaning to taken out: case, spaces, dashes, invisible characters. */
export function folded(text: string): string {
  return text
    .normalize('NFKC')
    .replace(/[\s_\-\p{Cf}]+/gu, '')
    .toLowerCase();
}

/**
 * The allowed word that `found` was most likely meant to be, or null when none is near: the same but for
 * case, spaces and dashes; the only one that begins with it, or with which it begins; or at most two
 * letters away and less than half the word.
 *
 * @example nearest('Base line', ['baseline', 'post']) // 'baseline'
 * @example nearest('left-handed', ['left', 'right']) // 'left'
 * @example nearest('zzz', ['baseline', 'post']) // null
 */
export function nearest(found: string, allowed: Iterable<string>): string | null {
  const target = folded(found);
  if (target === '' || target.length > 100) return null;
  const words = Array.from(allowed, (word) => ({ word, candidate: folded(word) }));
  const same = words.find(({ candidate }) => candidate === target);
  if (same !== undefined) return same.word;
  const longer = words.filter(({ candidate }) => target.length >= 4 && candidate.startsWith(target));
  if (longer.length === 1) return longer[0]!.word;
  const shorter = words.filter(({ candidate }) => candidate.length >= 4 && target.startsWith(candidate));
  if (longer.length === 0 && shorter.length === 1) return shorter[0]!.word;
  let best: string | null = null;
  let bestDistance = 3;
  for (const { word, candidate } of words) {
    if (Math.abs(candidate.length - target.length) >= bestDistance) continue;
    const distance = editDistance(target, candidate);
    if (distance < bestDistance && 2 * distance < candidate.length) {
      best = word;
      bestDistance = distance;
    }
  }
  return best;
}

/**
 * The id that differs from `found` only by case, spaces, dashes or leading zeros; null when there is none.
 * Ids that stand beside each other, such as G36 and G37, are not alike.
 *
 * @example sameId('g 1', ['G01', 'G11']) // 'G01'
 */
export function sameId(found: string, ids: Iterable<string>): string | null {
  const target = foldedId(found);
  for (const id of ids) if (foldedId(id) === target) return id;
  return null;
}

function foldedId(id: string): string {
  return folded(id).replace(/(?<!\d)0+(?=\d)/g, '');
}

/** Letters to insert, drop or replace to turn one word into the other (Levenshtein 1966). */
function editDistance(a: string, b: string): number {
  let above = Array.from({ length: b.length + 1 }, (_, index) => index);
  for (let i = 1; i <= a.length; i += 1) {
    const row = [i];
    for (let j = 1; j <= b.length; j += 1)
      row.push(Math.min(above[j]! + 1, row[j - 1]! + 1, above[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1)));
    above = row;
  }
  return above[b.length]!;
}
