import type { Column, Dataset } from '../../../dataset/index.ts';
import { valueSums } from '../../../stats/index.ts';
import type { Task } from '../../shared/roster.ts';
import type { CountedSwings, MeasuredSwings, SessionSwings, SwingGroup } from './trial-data.ts';

/** A swing of its own, with all that its group shares. */
export type SingleSwing = Omit<SwingGroup, keyof MeasuredSwings> & {
  readonly swing: string;
  readonly value: number;
};

/** Swings that are held, with their sums. */
export function measuredSwings(ids: readonly string[], values: ArrayLike<number>): MeasuredSwings {
  return { ...valueSums(values), each: { ids, values } };
}

/** Single swings as groups of one session, phase and task each, in the order of first appearance. */
export function groupsOfSwings(swings: readonly SingleSwing[]): SwingGroup[] {
  const groups = new Map<string, SingleSwing[]>();
  for (const swing of swings) {
    const key = JSON.stringify([
      swing.golfer,
      swing.session,
      swing.phase,
      swing.task,
      swing.arm,
      swing.period,
    ]);
    const own = groups.get(key);
    if (own === undefined) groups.set(key, [swing]);
    else own.push(swing);
  }
  return [...groups.values()].map((own) => {
    const { swing: _, value: __, ...shared } = own[0]!;
    return {
      ...shared,
      ...measuredSwings(
        own.map(({ swing }) => swing),
        own.map(({ value }) => value),
      ),
    };
  });
}

/** Swings that the plan excludes, with the reason. */
export type ExcludedSwings = CountedSwings & { readonly why: string };

/**
 * The swings of a dataset by session and task, in the order of first appearance, and those that are excluded. Works on the
 * columns as they are stored, so that a million swings cost a number and a reference each.
 *
 * @param why why a swing is excluded, undefined where it is not; null where none is
 */
export function groupSwings(
  dataset: Dataset,
  column: string,
  why: ((swing: string, session: string) => string | undefined) | null,
): { readonly swings: readonly SessionSwings[]; readonly excluded: readonly ExcludedSwings[] } {
  const { swings } = dataset.tables;
  const rows = swings.length;
  const values = swings.has(column) ? swings.numbers(column) : new Float64Array(rows).fill(Number.NaN);
  const ids = swings.text('swing_id');
  const sessions = coded(swings.stored('session_id'), rows);
  const tasks = coded(swings.stored('task'), rows);
  const place = new Map<number, number>();
  const groupAt = new Int32Array(rows);
  const firstRow: number[] = [];
  const excluded: ExcludedSwings[] = [];
  const [measured, missing]: [number[], number[]] = [[], []];
  for (let row = 0; row < rows; row++) {
    const reason = why?.(ids[row] ?? '', sessions.text(row) ?? '');
    if (reason !== undefined) {
      excluded.push({ count: 1, ids: [ids[row] ?? ''], why: reason });
      groupAt[row] = -1;
      continue;
    }
    const key = (sessions.codes[row]! + 1) * (tasks.levels + 1) + tasks.codes[row]! + 1;
    let group = place.get(key);
    if (group === undefined) {
      group = firstRow.length;
      place.set(key, group);
      firstRow.push(row);
      measured.push(0);
      missing.push(0);
    }
    groupAt[row] = group;
    const counts = Number.isNaN(values[row]!) ? missing : measured;
    counts[group] = counts[group]! + 1;
  }
  const held = measured.map((count) => ({ ids: new Array<string>(count), values: new Float64Array(count) }));
  const lacking = missing.map((count) => new Array<string>(count));
  const [nextHeld, nextLacking] = [new Int32Array(held.length), new Int32Array(held.length)];
  for (let row = 0; row < rows; row++) {
    const group = groupAt[row]!;
    if (group < 0) continue;
    const value = values[row]!;
    const id = ids[row] ?? '';
    if (Number.isNaN(value)) lacking[group]![nextLacking[group]!++] = id;
    else {
      const at = nextHeld[group]!++;
      held[group]!.ids[at] = id;
      held[group]!.values[at] = value;
    }
  }
  return {
    swings: firstRow.map((row, group) => ({
      session: sessions.text(row) ?? '',
      task: tasks.text(row) as Task,
      measured: measured[group] === 0 ? null : measuredSwings(held[group]!.ids, held[group]!.values),
      missing: { count: missing[group]!, ids: lacking[group]! },
    })),
    excluded,
  };
}

/** A text column by codes; one that the table came without is all empty. */
function coded(column: Column | undefined, rows: number) {
  if (column === undefined || column.kind !== 'text')
    return { codes: new Int32Array(rows).fill(-1), levels: 0, text: () => null };
  const { codes, levels } = column;
  return { codes, levels: levels.length, text: (row: number) => levels[codes[row]!] ?? null };
}
