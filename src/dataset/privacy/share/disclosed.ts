import type { Column } from '../../column.ts';
import { NumberBuilder, TextBuilder, textAt } from '../../column.ts';
import type { Dataset } from '../../dataset.ts';
import type { TableName } from '../../generated/rows.ts';
import { AGE, HANDICAP, HEIGHT } from './bands.ts';
import { type Generalised, generalise } from './generalise.ts';
import { heldBack } from './hold-back.ts';
import { valuesShown } from './rare-values.ts';
import {
  coarseDate,
  FIRST_DAY,
  practiceDate,
  practicePatterns,
  VISIT_LEVELS,
  type VisitDays,
  visitDays,
  visitPatterns,
} from './visits.ts';

/** No group of an export is smaller, be it a combination of attributes, a difference of two exports or who is left over. */
export const LEAST_GROUP = 5;

/** Words that say something of the golfer, and are shown where enough golfers have them. */
const WORDS: readonly (readonly [TableName, string])[] = [
  ['sessions', 'device'],
  ['sessions', 'surface'],
  ['sessions', 'rate_hz'],
  ['swings', 'club'],
  ['practice', 'drill'],
];

/** Words that others know of a golfer: shown only where enough golfers have them together with everything else. */
const KNOWN_WORDS: readonly (readonly [TableName, string])[] = [
  ['sessions', 'instructor_id'],
  ['assignments', 'stratum'],
];

/** What may be shown of everybody who has consented to anything: settled once, so that exports of two scopes agree. */
export interface Disclosure {
  readonly generalised: Generalised;
  /** Who could be shown and is not, since somebody would be found by taking this export from an earlier one. */
  readonly heldBack: ReadonlySet<string>;
  readonly days: VisitDays;
  /** Values that may be shown, by `table.column`. */
  readonly shown: ReadonlyMap<string, ReadonlySet<string>>;
}

/**
 * Settles how coarsely things are said. What somebody may know of a golfer (how they play, age, handicap, height, arm of a
 * trial and its day, phases and times of visits) is shared by five or more of the same consent; so the difference between the exports of
 * two scopes is groups of five or more too. What earlier exports said of a golfer counts as known: whoever holds them finds
 * the same golfer again by the swings, and what two exports say together is shared by five or more as well.
 *
 * @param levelOf the level of consent of every golfer who may be in some export
 * @param historyOf what earlier exports said of each golfer who was in one
 * @param least the level that is asked for
 */
export function disclosureOf(
  dataset: Dataset,
  levelOf: ReadonlyMap<string, number>,
  historyOf: ReadonlyMap<string, string>,
  least: number,
): Disclosure {
  const { golfers, assignments } = dataset.tables;
  const days = visitDays(dataset);
  const patterns = VISIT_LEVELS.map((_, level) => visitPatterns(dataset, days, level));
  const practised = dataset.tables.practice.length === 0 ? null : practicePatterns(dataset, days);
  const arms = new Map<string, string[]>();
  assignments.column('golfer_id').forEach((golfer, row) => {
    if (golfer === null) return;
    const arm = `${assignments.column('trial_id')[row]} ${assignments.column('arm')[row]}`;
    arms.set(golfer, [...(arms.get(golfer) ?? []), arm]);
  });
  const cohorts = cohortsOf(levelOf, historyOf);
  const known = KNOWN_WORDS.map(([table, column]) => wordsOf(dataset, table, column, cohorts));
  const [plays, age] = [golfers.column('plays'), golfers.column('age_band')];
  const [handicap, height] = [golfers.column('handicap_index'), golfers.column('height_cm')];
  const people = golfers.column('golfer_id').flatMap((golfer, row) => {
    const level = golfer === null ? undefined : levelOf.get(golfer);
    if (golfer === null || level === undefined) return [];
    return [
      {
        id: golfer,
        fixed: JSON.stringify([
          level,
          plays[row],
          arms.get(golfer)?.sort() ?? [],
          historyOf.get(golfer) ?? null,
        ]),
        ladders: [
          AGE.map((band) => band(age[row] ?? null)),
          HANDICAP.map((band) => band(handicap[row]!)),
          HEIGHT.map((band) => band(height[row]!)),
          patterns.map((pattern) => pattern.get(golfer) ?? ''),
          ...known.map(({ ofGolfer }) => [ofGolfer(golfer), '']),
          ...(practised === null ? [] : [[practised.get(golfer) ?? '', '']]),
        ],
      },
    ];
  });
  const generalised = generalise(people, LEAST_GROUP);
  const asked = new Map([...generalised.groupOf].filter(([golfer]) => levelOf.get(golfer)! >= least));
  const held = heldBack({ groupOf: asked, historyOf }, LEAST_GROUP);
  const kept = new Set(generalised.kept.filter((golfer) => !held.has(golfer)));
  const groupOf = new Map([...cohorts].filter(([golfer]) => kept.has(golfer)));
  return {
    generalised,
    heldBack: held,
    days,
    shown: new Map([
      ...WORDS.map(([table, column]): [string, ReadonlySet<string>] => [
        `${table}.${column}`,
        wordsOf(dataset, table, column, groupOf).shown,
      ]),
      ...KNOWN_WORDS.map(([table, column], k): [string, ReadonlySet<string>] => [
        `${table}.${column}`,
        generalised.levels[FIRST_KNOWN_WORD + k] === 0 ? known[k]!.shown : new Set(),
      ]),
    ]),
  };
}

/** Golfers of one consent and one history, as numbers; those of whom there are too few are in no export. */
function cohortsOf(
  levelOf: ReadonlyMap<string, number>,
  historyOf: ReadonlyMap<string, string>,
): ReadonlyMap<string, number> {
  const members = new Map<string, string[]>();
  for (const [golfer, level] of levelOf) {
    const cohort = `${level} ${historyOf.get(golfer) ?? ''}`;
    members.set(cohort, [...(members.get(cohort) ?? []), golfer]);
  }
  return new Map(
    [...members.values()]
      .filter((golfers) => golfers.length >= LEAST_GROUP)
      .flatMap((golfers, number) => golfers.map((golfer): [string, number] => [golfer, number])),
  );
}

/** Age, handicap, height and visits come before. */
const FIRST_KNOWN_WORD = 4;

/** Whether it is said behind which visit somebody practised. */
export function tellsPractice({ levels }: Generalised): boolean {
  return levels[FIRST_KNOWN_WORD + KNOWN_WORDS.length] === 0;
}

/** The words of a column that may be shown, and those of them that a golfer has. */
function wordsOf(
  dataset: Dataset,
  table: TableName,
  column: string,
  groupOf: ReadonlyMap<string, number>,
): { readonly shown: ReadonlySet<string>; readonly ofGolfer: (golfer: string) => string } {
  const stored = dataset.tables[table].stored(column);
  const values = new Map<string, Set<string>>();
  const without = new Set<string>();
  if (stored === undefined) return { shown: new Set(), ofGolfer: () => '' };
  golfersOfRows(dataset, table).forEach((golfer, row) => {
    if (golfer === null || !groupOf.has(golfer)) return;
    const value = cellAt(stored, row);
    if (value === null) without.add(golfer);
    else values.set(value, (values.get(value) ?? new Set()).add(golfer));
  });
  const shown = valuesShown({ values, groupOf, without }, LEAST_GROUP);
  return {
    shown,
    ofGolfer: (golfer) => JSON.stringify([...shown].filter((value) => values.get(value)!.has(golfer)).sort()),
  };
}

function cellAt(column: Column, row: number): string | null {
  if (column.kind === 'text') return textAt(column, row);
  return Number.isNaN(column.values[row]!) ? null : String(column.values[row]);
}

/** Whose each row of a table is. */
export function golfersOfRows({ tables }: Dataset, table: TableName): readonly (string | null)[] {
  if (table === 'swings') {
    const golferOf = new Map(
      tables.sessions.column('session_id').map((id, row) => [id, tables.sessions.column('golfer_id')[row]]),
    );
    return tables.swings.column('session_id').map((id) => golferOf.get(id) ?? null);
  }
  return table === 'instructors' || table === 'captures' ? [] : tables[table].text('golfer_id');
}

/** A column as it is shown; null where it is not shown at all. */
export function disclosedColumn(
  { generalised, days, shown }: Disclosure,
  dataset: Dataset,
  table: TableName,
  name: string,
  column: Column,
): Column | null {
  const [ageLevel, handicapLevel, heightLevel, visitLevel] = generalised.levels as readonly [
    number,
    number,
    number,
    number,
  ];
  if (['consent_date', 'consent_by', 'joined_on', 'time_of_day'].includes(name)) return null;
  if (name === 'age_band') return mapped(column, (cell) => AGE[ageLevel]!(cell));
  if (name === 'handicap_index') return mapped(column, (cell) => HANDICAP[handicapLevel]!(numberOf(cell)));
  if (name === 'height_cm') return mapped(column, (cell) => HEIGHT[heightLevel]!(numberOf(cell)));
  if (name === 'date' || name === 'assigned_on') {
    const owners = golfersOfRows(dataset, table);
    if (table === 'practice' && !tellsPractice(generalised))
      return mapped(column, (cell) => (cell === null ? '' : FIRST_DAY));
    const coarse = table === 'practice' ? practiceDate : coarseDate;
    return mapped(column, (cell, row) =>
      cell === null ? '' : coarse(cell, days.get(owners[row] ?? '') ?? [], visitLevel),
    );
  }
  const words = shown.get(`${table}.${name}`);
  return words === undefined
    ? column
    : mapped(column, (cell) => (cell !== null && words.has(cell) ? cell : ''));
}

function numberOf(cell: string | null): number {
  return cell === null ? Number.NaN : Number(cell);
}

function mapped(column: Column, to: (cell: string | null, row: number) => string): Column {
  const length = column.kind === 'text' ? column.codes.length : column.values.length;
  const builder = column.kind === 'text' ? new TextBuilder() : new NumberBuilder();
  for (let row = 0; row < length; row += 1) {
    const cell = to(cellAt(column, row), row);
    if (builder instanceof TextBuilder) builder.push(cell);
    else builder.push(cell === '' ? Number.NaN : Number(cell));
  }
  return builder.finish();
}

/** How many rows of a column hold nothing in the export that held something before. */
export function blanked(before: Column, after: Column | null): number {
  const length = before.kind === 'text' ? before.codes.length : before.values.length;
  let count = 0;
  for (let row = 0; row < length; row += 1)
    if (cellAt(before, row) !== null && (after === null || cellAt(after, row) === null)) count += 1;
  return count;
}
