import { folded } from '../read/nearest.ts';
import { type Joinable, type Match, visitsOf } from './join-rows.ts';
import type { Tables, Taken } from './take-rows.ts';

/** An id with what people vary without meaning to taken out: capitals, spaces, dashes, zeros before a number. */
function alike(id: string): string {
  return folded(id).replace(/(?<!\d)0+(?=\d)/g, '');
}

/**
 * Finds the swing of each row by its id, letter for letter. An id that differs only in capitals, spaces, dashes or zeros in
 * front is named and not taken. A row of another golfer than the swing's is left out; another day is said.
 *
 * @param sheet whether a column of the sheet says whose a row is
 */
export function joinById(
  rows: readonly Joinable[],
  tables: Tables,
  taken: Taken,
  sheet: { readonly namesGolfer: boolean },
): readonly Match[] {
  const swings = tables.get('swings')!;
  const visits = visitsOf(tables.get('sessions')!);
  const lineOf = new Map<number, number>();
  let alikes: ReadonlyMap<string, readonly string[]> | null = null;
  return rows.flatMap((one): Match[] => {
    const leave = (why: string): Match[] => {
      taken.leftOut.push({ line: one.line, why });
      return [];
    };
    const { id } = one;
    if (id === '') return leave('it has no swing_id to be joined by');
    const row = swings.rowOf(id);
    if (row === undefined || row >= swings.firstNew) {
      alikes ??= idsAlike(tables);
      const near = (alikes.get(alike(id)) ?? []).map((other) => `'${other}'`);
      const hint =
        near.length === 0 ? '' : `; it has ${near.join(', ')}, and ids are the same letter for letter`;
      return leave(`the dataset has no swing '${id}'${hint}`);
    }
    const other = lineOf.get(row);
    if (other !== undefined) return leave(`line ${other} has the swing '${id}' already`);
    const there = visits.get(swings.get(row, 'session_id'));
    if (sheet.namesGolfer && there !== undefined && one.golfer !== null && one.golfer !== there.golfer)
      return leave(`the swing '${id}' is of ${there.golfer}, and this row of ${one.golfer}`);
    if (there !== undefined && one.date !== null && one.date !== there.date)
      taken.kept.push({ line: one.line, table: 'sessions', column: 'date', has: there.date });
    lineOf.set(row, one.line);
    return [{ one, row, secondsApart: null }];
  });
}

function idsAlike(tables: Tables): ReadonlyMap<string, readonly string[]> {
  const swings = tables.get('swings')!;
  const ids = new Map<string, string[]>();
  for (let row = 0; row < swings.firstNew; row += 1) {
    const id = swings.get(row, 'swing_id');
    const same = ids.get(alike(id));
    if (same === undefined) ids.set(alike(id), [id]);
    else same.push(id);
  }
  return ids;
}
