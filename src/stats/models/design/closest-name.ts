/**
 * The name among `names` that is at most two slips (a letter added, lost, changed, or two swapped) from `name`,
 * whatever the capitals; null when none is.
 *
 * @example closestName('amr', ['same', 'arm']) // 'arm'
 */
export function closestName(name: string, names: readonly string[]): string | null {
  let best: string | null = null;
  let least = 3;
  for (const candidate of names) {
    const slips = slipsBetween(name.toLowerCase(), candidate.toLowerCase());
    if (slips < least) {
      least = slips;
      best = candidate;
    }
  }
  return best;
}

/** Damerau and Levenshtein's distance with adjacent swaps; 3 stands for anything above 2. */
function slipsBetween(a: string, b: string): number {
  if (Math.abs(a.length - b.length) > 2) return 3;
  const rows: number[][] = [Array.from({ length: b.length + 1 }, (_, j) => j)];
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      let cost = Math.min(
        rows[i - 1]![j]! + 1,
        row[j - 1]! + 1,
        rows[i - 1]![j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1),
      );
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1])
        cost = Math.min(cost, rows[i - 2]![j - 2]! + 1);
      row.push(cost);
    }
    rows.push(row);
  }
  return rows[a.length]![b.length]!;
}
