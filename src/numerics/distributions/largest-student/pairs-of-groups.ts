/** r when the correlations are those of all pairwise differences of r equally well known means, else 0. */
export function pairsOfGroups(at: (i: number, j: number) => number, k: number): number {
  const groups = (1 + Math.sqrt(1 + 8 * k)) / 2;
  if (!Number.isInteger(groups) || groups < 3) return 0;
  for (let i = 0; i < k; i++) {
    let halves = 0;
    for (let j = 0; j < k; j++) {
      const r = Math.abs(at(i, j));
      if (i === j) continue;
      if (Math.abs(r - 0.5) < 1e-9) halves++;
      else if (r > 1e-9) return 0;
    }
    if (halves !== 2 * (groups - 2)) return 0;
  }
  return groups;
}
