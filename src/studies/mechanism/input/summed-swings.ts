import type { CellSums, CellsWanted, Dataset, SwingCells, SwingFacts } from '../../../dataset/index.ts';
import { type Phase, rosterSessions } from '../../shared/roster.ts';
import type { Held, MechanismChoice, SwingRule } from './choice.ts';
import { PREDICTORS, STRIKES, TURNS } from './columns.ts';
import type { MechanismSwing } from './swings.ts';

/** Swings that were summed by session where they are, and which of them count. */
export interface SummedSwings {
  readonly sums: SwingCells;
  /** By place of the session; null where it does not count or is not known. */
  readonly sessions: readonly ({
    readonly golfer: string;
    readonly phase: Phase;
    readonly device: string | null;
  } | null)[];
  readonly rule: SwingRule;
}

/** Single swings, or their sums. */
export type Swings = readonly MechanismSwing[] | SummedSwings;

export function isSummed(swings: Swings): swings is SummedSwings {
  return 'sums' in swings;
}

/** The column of swings that is held, where it is one of numbers. */
const HELD_COLUMN: Partial<Record<Held, string>> = {
  order: 'order_in_session',
  'speed-intent': 'speed_intent_pct',
  'pelvis-turn': 'pelvis_turn_impact_deg',
  'thorax-turn': 'thorax_turn_impact_deg',
};

const setName = (columns: readonly string[], more = ''): string => [...columns].sort().join(' ') + more;
const clubColumn = (level: string): string => `club ${level}`;
const AFTER_SECOND = ' after the second';

/** Adds the session rows to the sums: who swung, and whether the session counts. */
export function summedSwings(
  sums: SwingCells,
  dataset: Dataset,
  counts: (session: string) => boolean,
): SummedSwings {
  const known = new Map(rosterSessions(dataset).map((row) => [row.session, row]));
  return {
    sums,
    rule: 'all',
    sessions: sums.sessions.map((session) => {
      const row = known.get(session);
      if (row === undefined || !counts(session)) return null;
      return { golfer: row.golfer, phase: row.phase, device: row.device };
    }),
  };
}

/** The sets of columns that the question takes sums of, the first that of the answer itself. */
export function cellsOfQuestion(
  { predictor, mediator, outcome }: Pick<MechanismChoice, 'predictor' | 'mediator' | 'outcome'>,
  facts: SwingFacts,
): CellsWanted[] {
  const known = (column: string) => (facts.known.get(column) ?? 0) > 0;
  const varied = (column: string) => (facts.levels.get(column)?.length ?? 0) > 1;
  const main = [predictor, outcome];
  const sets: CellsWanted[] = [];
  const add = (columns: readonly string[], more: Partial<CellsWanted> = {}, suffix = '') => {
    const name = setName(columns, suffix);
    if (sets.every((set) => set.name !== name)) sets.push({ name, columns, ...more });
  };
  // Golfers' own lines go from their least to their most.
  add(main, { spans: true });
  for (const turn of TURNS.filter(known)) add([...main, turn], { product: [0, 2] });
  if (mediator !== null) add([predictor, mediator, outcome]);
  for (const strike of STRIKES)
    if (strike !== outcome && known(strike))
      add([predictor, ...(mediator === null ? [] : [mediator]), outcome, strike]);
  for (const other of PREDICTORS) if (other !== outcome && known(other)) add([other, outcome]);
  for (const column of ['order_in_session', 'speed_intent_pct']) if (varied(column)) add([column, ...main]);
  const clubs = facts.levels.get('club') ?? [];
  if (clubs.length > 1 && clubs.length < 50)
    sets.push({
      name: setName(main, ' club'),
      columns: [...clubs.slice(1).map((is) => ({ column: 'club', is })), ...main],
    });
  if (known('order_in_session')) add(main, { afterSecond: true }, AFTER_SECOND);
  return sets;
}

/** Columns whose different values are wanted before the sets are chosen. */
export const LEVELS_OF = ['order_in_session', 'speed_intent_pct', 'club'] as const;

/** Where the products of columns a and b of v are, in any order. */
export function pairAt(a: number, b: number, v: number): number {
  const [low, high] = a <= b ? [a, b] : [b, a];
  return low * v - (low * (low - 1)) / 2 + high - low;
}

/** The sums of a set of columns over the sessions that count, with what is held; without entries where they were not made. */
export function cellsOfSums(swings: SummedSwings, columns: readonly string[], held: readonly Held[]) {
  const { sums, sessions, rule } = swings;
  const ofSession = held.filter((one) => one === 'phase' || one === 'device');
  const numbers = held.flatMap((one) => HELD_COLUMN[one] ?? []);
  const club = held.includes('club');
  const suffix = `${club ? ' club' : ''}${rule === 'not-the-first-two' && sums.cells.has(setName(columns, AFTER_SECOND)) ? AFTER_SECOND : ''}`;
  const set = sums.cells.get(setName([...numbers, ...columns], suffix));
  const clubs = club ? (sums.levels.get('club') ?? []).slice(1).map(clubColumn) : [];
  const inSet = set === undefined ? [] : namesIn(set, [...clubs, ...numbers, ...columns]);
  const kept: number[] = [];
  for (let c = 0; c < (set?.session.length ?? 0); c++) {
    const session = sessions[set!.session[c]!];
    if (session == null) continue;
    if (rule === 'baseline-only' && session.phase !== 'baseline') continue;
    if (ofSession.includes('device') && session.device === null) continue;
    kept.push(c);
  }
  const pick = (values: Float64Array) => Float64Array.from(kept, (c) => values[c]!);
  const golferPlace = new Map<string, number>();
  const golfer = Int32Array.from(kept, (c) => {
    const name = sessions[set!.session[c]!]!.golfer;
    const place = golferPlace.get(name) ?? golferPlace.size;
    golferPlace.set(name, place);
    return place;
  });
  const constant = ofSession.flatMap((one) => {
    const words = kept.map((c) => sessions[set!.session[c]!]![one as 'phase' | 'device']!);
    return [...new Set(words)]
      .sort()
      .slice(1)
      .map((level) => ({
        name: `${one} ${level}`,
        values: Float64Array.from(words, (word) => (word === level ? 1 : 0)),
      }));
  });
  const names = [...constant.map(({ name }) => name), ...clubs, ...numbers];
  const all = [...names, ...columns];
  const from = all.map((column) => inSet.indexOf(column));
  const hasProduct = set !== undefined && set.columns > set.of.length;
  if (hasProduct) from.push(set.of.length);
  const none = new Float64Array(kept.length);
  const spanned = (set?.least.length ?? 0) > 0 ? from : [];
  const column = (k: number, of: (set: CellSums) => readonly Float64Array[]) =>
    from[k]! < 0 ? (constant[k]?.values ?? none) : pick(of(set!)[from[k]!]!);
  return {
    each: null,
    held: names,
    golferNames: [...golferPlace.keys()],
    cells: {
      golfer,
      counts: set === undefined ? none : pick(set.counts),
      means: from.map((_, k) => column(k, ({ means }) => means)),
      least: spanned.map((_, k) => column(k, ({ least }) => least)),
      most: spanned.map((_, k) => column(k, ({ most }) => most)),
      products: from.flatMap((_, a) =>
        from.slice(a).map((_, k) => {
          const [i, j] = [from[a]!, from[a + k]!];
          if (i < 0 || j < 0 || set === undefined) return none;
          return pick(set.products[pairAt(i, j, set.columns)]!);
        }),
      ),
      errors: from.map((_, k) => {
        const stated = from[k]! < 0 ? null : set!.errors[from[k]!];
        if (stated == null) return null;
        const [squares, counts] = [pick(stated.squares), pick(stated.stated)];
        return counts.some((count) => count > 0) ? { squares, stated: counts } : null;
      }),
    },
  };
}

/** The names of the columns of a set in its own order; what is not asked for has none. */
function namesIn(set: CellSums, asked: readonly string[]): string[] {
  return set.of.map((column) => {
    const name = typeof column === 'string' ? column : clubColumn(column.is);
    return asked.includes(name) ? name : '';
  });
}

/** Whether what is held is known of any swing, and whether it differs between them. */
export function heldInSums(
  held: Held,
  { sums, sessions }: SummedSwings,
): { readonly recorded: boolean; readonly differs: boolean } {
  if (held === 'phase' || held === 'device') {
    const words = new Set(sessions.flatMap((session) => session?.[held] ?? []));
    return { recorded: words.size > 0, differs: words.size > 1 };
  }
  const column = HELD_COLUMN[held] ?? held;
  const recorded = (sums.known.get(column) ?? 0) > 0;
  return { recorded, differs: recorded && (sums.levels.get(column)?.length ?? 2) > 1 };
}
