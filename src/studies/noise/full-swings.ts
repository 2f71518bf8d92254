import type { Finding } from '../finding.ts';
import type { Excluded, Listed } from '../shared/exclusions.ts';
import { groupLeftOut } from '../shared/left-out.ts';
import { count } from '../shared/words.ts';
import type { NoiseData, NoiseRow } from './noise-data.ts';

export type Valued = NoiseRow & { readonly value: number };

export function fullSwings(data: NoiseData): Valued[] {
  return data.swings.filter((row): row is Valued => row.task === 'full' && row.value !== null);
}

export function countsOf(rows: readonly NoiseRow[]) {
  return {
    golfers: new Set(rows.map(({ golfer }) => golfer)).size,
    sessions: new Set(rows.map(({ session }) => session)).size,
    swings: rows.length,
  };
}

export function counted(rows: readonly NoiseRow[]): string {
  const { golfers, sessions, swings } = countsOf(rows);
  return `${count(swings, 'full swing')} in ${count(sessions, 'session')} of ${count(golfers, 'golfer')}`;
}

/** Every swing that is not used, by reason; with those used it accounts for all. */
export function leftOut(
  excluded: Excluded<NoiseData>,
  unused: (row: Valued) => string | null,
): Finding['leftOut'] {
  const whyNot = (row: NoiseRow): string | null => {
    if (row.task !== 'full') return 'not a full swing';
    return row.value === null ? 'no value for this number' : unused(row as Valued);
  };
  function* swings(): Iterable<Listed> {
    yield* excluded.swings;
    for (const row of excluded.data.swings) {
      const why = whyNot(row);
      if (why !== null) yield { id: row.swing, why };
    }
  }
  return [
    ...groupLeftOut('golfers', excluded.golfers),
    ...groupLeftOut('sessions', excluded.sessions),
    ...groupLeftOut('swings', swings()),
  ];
}
