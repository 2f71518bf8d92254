import { MOST_NAMED } from '../../shared/words.ts';
import type { Design, Period } from './design.ts';
import type { CountedSwings, Phase, SwingGroup, TrialData, TrialSession } from './trial-data.ts';

export interface PlacedRows {
  /** The swings of the golfers in the trial that have a value, whatever their task and phase, by session and task. */
  readonly rows: readonly SwingGroup[];
  /** Swings that no analysis can use, each under one reason. */
  readonly unplaced: readonly (CountedSwings & { readonly why: string })[];
  /** Sessions whose phase and date do not fit together, in words. */
  readonly warnings: readonly string[];
}

/** Joins swings to sessions and arms. A swing is either in a row or unplaced with its reason: none is lost. */
export function placeRows(data: TrialData, design: Design): PlacedRows {
  const sessions = new Map(data.sessions.map((session) => [session.session, session]));
  const laterDates = datesAfterBaseline(data.sessions);
  const other = new Set(design.otherArms);
  const rows: SwingGroup[] = [];
  const unplaced: (CountedSwings & { why: string })[] = [];
  for (const { session: id, task, measured, missing } of data.swings) {
    const session = sessions.get(id);
    const place = session === undefined ? undefined : placeOf(session, design, laterDates);
    if (session === undefined || place === undefined) {
      const why =
        session === undefined
          ? 'its session is not in the sessions table'
          : other.has(session.golfer)
            ? 'its golfer is in an arm that the plan does not compare'
            : 'its golfer is not in this trial';
      if (measured !== null) unplaced.push({ count: measured.count, ids: measured.each?.ids ?? null, why });
      if (missing.count > 0) unplaced.push({ ...missing, why });
      continue;
    }
    if (missing.count > 0) unplaced.push({ ...missing, why: `${data.metric.label} is missing (empty cell)` });
    if (measured === null) continue;
    const { golfer, date, phase, covariates } = session;
    rows.push({
      ...measured,
      session: id,
      golfer,
      date,
      phase,
      task,
      arm: place.arm,
      period: place.period,
      ...(covariates === undefined ? {} : { covariates }),
    });
  }
  return { rows, unplaced, warnings: dateWarnings(data.sessions, laterDates, design) };
}

/** The arm and period a session belongs to, or undefined for a golfer who is not in the trial. */
function placeOf(
  session: TrialSession,
  design: Design,
  laterDates: ReadonlyMap<string, readonly string[]>,
): { readonly arm: string; readonly period: number } | undefined {
  const periods = design.periods.get(session.golfer);
  if (periods === undefined) return undefined;
  if (design.kind !== 'crossover') return { arm: underTest(periods, design), period: 1 };
  const start = laterDates.get(session.golfer)?.[0];
  const index =
    session.phase === 'baseline'
      ? start === undefined || session.date <= start
        ? 0
        : periods.length - 1
      : periodBehind(session, periods);
  return { arm: periods[index]!.arm, period: index + 1 };
}

/** Who waits in the control and starts later counts under the drill in a stepped start. */
function underTest(periods: readonly Period[], design: Design): string {
  return periods.find((period) => period.arm !== design.control)?.arm ?? periods[0]!.arm;
}

/** Any other session belongs to the period it comes after; on the day of a change, to the one that ends. */
function periodBehind(session: TrialSession, periods: readonly Period[]): number {
  for (let i = periods.length - 1; i > 0; i--) if (periods[i]!.from < session.date) return i;
  return 0;
}

/** By golfer, the dates of the sessions that are not baseline, in order. */
function datesAfterBaseline(sessions: readonly TrialSession[]): ReadonlyMap<string, readonly string[]> {
  const dates = new Map<string, string[]>();
  for (const { golfer, phase, date } of sessions) {
    if (phase === 'baseline') continue;
    const own = dates.get(golfer);
    if (own === undefined) dates.set(golfer, [date]);
    else own.push(date);
  }
  for (const own of dates.values()) own.sort();
  return dates;
}

/** A baseline after the drill began to be practised or measured, or anything else before the golfer's start. */
function dateWarnings(
  sessions: readonly TrialSession[],
  laterDates: ReadonlyMap<string, readonly string[]>,
  design: Design,
): string[] {
  const odd = new Map<Phase, string[]>();
  for (const session of sessions) {
    const periods = design.periods.get(session.golfer);
    if (periods === undefined) continue;
    const own = periods.filter((period) => design.kind !== 'stepped-start' || period.arm !== design.control);
    const earlier = laterDates.get(session.golfer)?.findLast((date) => date < session.date);
    const late =
      session.phase === 'baseline' && earlier !== undefined && !own.some((period) => period.from > earlier);
    const early = session.phase !== 'baseline' && session.date < own[0]!.from;
    if (!late && !early) continue;
    const ids = odd.get(session.phase);
    if (ids === undefined) odd.set(session.phase, [session.session]);
    else ids.push(session.session);
  }
  return [...odd].map(([phase, ids]) =>
    phase === 'baseline'
      ? `Sessions marked baseline but dated after a later phase of the same golfer: ${some(ids)}. They were used as marked; check the dates and the phases.`
      : `Sessions marked ${phase} but dated before the golfer's arm began: ${some(ids)}. They were used as marked; check the dates and the phases.`,
  );
}

/** At most a hundred ids; the others are counted. */
function some(ids: readonly string[]): string {
  const rest = ids.length - MOST_NAMED;
  return `${ids.slice(0, MOST_NAMED).join(', ')}${rest > 0 ? `, and ${rest} more` : ''}`;
}

/** Why swings with a value are not in the main comparison, or null when they may be. */
export function outsideComparison(row: SwingGroup, design: Design): string | null {
  if (row.task === 'drill')
    return 'a swing at drill speed: used only to compare drill speed with full swings';
  if (row.task !== 'full') return `a ${row.task} swing, not a full one`;
  if (row.phase === 'training') return 'made during training, between the compared phases';
  if (row.phase === 'retention') return 'made at retention: used only for the question whether it lasted';
  if (row.phase === 'baseline' && design.kind === 'crossover')
    return 'made at baseline: shown, but a crossover compares the two periods';
  return null;
}
