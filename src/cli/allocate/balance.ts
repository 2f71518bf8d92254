import type { OpenedEntry, SealedList } from '../../dataset/index.ts';

export function balanceTable(
  list: SealedList,
  entries: readonly OpenedEntry[],
): Record<string, Record<string, number>> {
  return Object.fromEntries(
    list.strata.map(({ stratum }) => [
      stratum,
      Object.fromEntries(
        list.arms.map((arm) => [
          arm,
          entries.filter((entry) => entry.stratum === stratum && entry.arm === arm).length,
        ]),
      ),
    ]),
  );
}

export function balance(list: SealedList, entries: readonly OpenedEntry[]): string[] {
  return Object.entries(balanceTable(list, entries)).map(
    ([stratum, arms]) =>
      `  ${stratum}: ${Object.entries(arms)
        .map(([arm, n]) => `${arm} ${n}`)
        .join(', ')}`,
  );
}
