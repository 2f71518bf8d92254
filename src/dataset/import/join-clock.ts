import { type ClockOffset, clockOffset, pairsAt, type TwoClocks } from './clock-offset.ts';
import type { ImportProblem } from './import-problem.ts';
import type { GolferMoments } from './join-in-time.ts';
import type { Join } from './join-rows.ts';

/** Seconds added to the sheet's times from a day on; `from` null is for all days before. */
export interface OffsetFrom {
  readonly from: string | null;
  readonly offset_s: number;
}

/** What was added to the sheet's clock, and how it is known. */
export interface JoinClock {
  readonly offsets: readonly OffsetFrom[];
  readonly why: string;
}

type Clock =
  | { readonly offsets: readonly OffsetFrom[]; readonly said: JoinClock }
  | { readonly problem: ImportProblem };

/** What is added to the sheet's times: as the mapping says, or nothing where the times themselves show it to be right. */
export function clockOf(join: Join, golfers: readonly GolferMoments[], tolerance: number): Clock {
  if (join.offset_s !== undefined) {
    const offsets: readonly OffsetFrom[] =
      typeof join.offset_s === 'number' ? [{ from: null, offset_s: join.offset_s }] : join.offset_s;
    return { offsets, said: { offsets, why: 'the mapping says so' } };
  }
  const told = clockOffset(golfers.map(clocksOf), tolerance);
  const rows = golfers.reduce((sum, { sheet }) => sum + sheet.length, 0);
  const days = daysTold(golfers, tolerance);
  const shifted = days.filter(({ offset_s }) => offset_s !== 0);
  if (told.is === 'found' && isNothing(told, golfers, tolerance) && shifted.length === 0) {
    const offsets = [{ from: null, offset_s: 0 }];
    const next =
      told.next === null ? '' : `, and with ${told.next.offset_s} s added ${told.next.pairs} would`;
    const why = `the clocks agree: as they are, ${told.best.pairs} of ${rows} rows find a swing${next}`;
    return { offsets, said: { offsets, why } };
  }
  // Nothing there to compare with: each row says so by itself.
  if (golfers.every(({ there }) => there.length === 0))
    return { offsets: [], said: { offsets: [], why: 'the dataset has no times for these golfers' } };
  const found =
    shifted.length > 0 && new Set(days.map(({ offset_s }) => offset_s)).size > 1
      ? `the clocks differ by day: ${runsInWords(days)}`
      : inWords(told, rows, pairsAt(golfers.map(clocksOf), 0, tolerance).pairs);
  return {
    problem: {
      where: 'mapping /join/offset_s',
      found,
      expected:
        'the seconds to be added to the times of this file, 0 where both clocks agree; or a list of {"from": date, "offset_s": seconds}',
      remedy: 'Compare both clocks, or the times of a swing that you know, and write the seconds.',
    },
  };
}

/** Seconds to add on a day; nothing before the first day that is named. */
export function offsetOn(date: string, offsets: readonly OffsetFrom[]): number {
  let [latest, seconds] = ['', 0];
  for (const { from, offset_s } of offsets)
    if ((from ?? '') <= date && (from ?? '') >= latest) [latest, seconds] = [from ?? '', offset_s];
  return seconds;
}

function clocksOf({ sheet, there }: GolferMoments): TwoClocks {
  return { sheet: sheet.map(({ at }) => at), there: there.map(({ at }) => at) };
}

/** Whether as many rows find a swing with nothing added as with the difference that fits best. */
function isNothing(
  { best }: Extract<ClockOffset, { is: 'found' }>,
  golfers: readonly GolferMoments[],
  tolerance: number,
): boolean {
  return (
    Math.abs(best.offset_s) <= tolerance && pairsAt(golfers.map(clocksOf), 0, tolerance).pairs >= best.pairs
  );
}

interface DayTold {
  readonly date: string;
  readonly offset_s: number;
}

/** The days of the sheet whose own swings tell the difference of the clocks, in order; 0 where there is none. */
function daysTold(golfers: readonly GolferMoments[], tolerance: number): readonly DayTold[] {
  const dates = [...new Set(golfers.flatMap(({ sheet }) => sheet.map(({ date }) => date)))].sort();
  return dates.flatMap((date): DayTold[] => {
    const ofDay = golfers.flatMap((one): GolferMoments[] => {
      const sheet = one.sheet.filter((moment) => moment.date === date);
      return sheet.length === 0 ? [] : [{ ...one, sheet }];
    });
    const told = clockOffset(ofDay.map(clocksOf), tolerance);
    if (told.is !== 'found') return [];
    return [{ date, offset_s: isNothing(told, ofDay, tolerance) ? 0 : told.best.offset_s }];
  });
}

function runsInWords(days: readonly DayTold[]): string {
  const runs: { from: string; to: string; offset_s: number }[] = [];
  for (const { date, offset_s } of days) {
    const last = runs.at(-1);
    if (last !== undefined && Math.abs(last.offset_s - offset_s) <= 1) last.to = date;
    else runs.push({ from: date, to: date, offset_s });
  }
  return runs
    .map(({ from, to, offset_s }) => `${from === to ? from : `${from} to ${to}`} ${offset_s} s`)
    .join(', ');
}

function inWords(told: ClockOffset, rows: number, asTheyAre: number): string {
  if (told.is === 'too few')
    return `nothing that tells whether both clocks agree: at most ${told.pairs} of ${rows} rows find a swing, whatever is added`;
  if (told.is === 'open')
    return `times that fit in several ways: ${told.fits
      .slice(0, 4)
      .map(({ offset_s, pairs }) => `with ${offset_s} s added ${pairs}`)
      .join(', ')} of ${rows} rows find a swing`;
  return `clocks that differ: with ${told.best.offset_s} s added ${told.best.pairs} of ${rows} rows find a swing, and with nothing ${asTheyAre}`;
}
