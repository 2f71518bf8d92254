import { createStream, type Stream } from '../../../numerics/index.ts';
import { drawPhaseAssignment, randomisationTest } from '../../../stats/index.ts';
import { mainChange } from '../../one-golfer/analysis/change.ts';
import { noiseSources } from '../../one-golfer/analysis/noise.ts';
import { golferSeries, valuesBySession } from '../../one-golfer/input/series.ts';
import type { RosterSession, RosterSwing } from '../../shared/roster.ts';
import { verdictOf } from '../../shared/standing.ts';
import type { KnownTruth } from '../known-truth.ts';
import { type CalibrationRow, MOST_FALSE_BY_TEST } from '../row.ts';
import { found, Tally } from '../tally.ts';

interface Case {
  readonly name: string;
  /** Sessions of each phase, A first, of each golfer. */
  readonly phases: readonly (readonly number[])[];
  readonly change: number;
  /** Correlation of neighbouring days. */
  readonly alike: number;
  /** Other golfers, each measured twice in one phase. */
  readonly roster?: number;
}

const VERY_ALIKE =
  'How alike neighbouring days are is estimated from a few dozen days, and then too low where they are very alike.';

/** SD of a day's form, and of swings within a day. */
const DAY_SD = 1;
const SWING_SD = 2;
const SWINGS = 8;
const SMALLEST = 1;

const CASES: readonly Case[] = [
  { name: 'AB 5 + 7', phases: [[5, 7]], change: 0, alike: 0 },
  { name: 'AB 8 + 10', phases: [[8, 10]], change: 0, alike: 0 },
  { name: 'AB 8 + 10, change', phases: [[8, 10]], change: 2, alike: 0 },
  { name: 'AB 12 + 12, days alike 0.3', phases: [[12, 12]], change: 2, alike: 0.3 },
  { name: 'AB 12 + 12, days alike 0.6', phases: [[12, 12]], change: 0, alike: 0.6 },
  { name: 'ABAB 6 each', phases: [[6, 6, 6, 6]], change: 1, alike: 0 },
  { name: 'ABAB 6 each, days alike 0.3', phases: [[6, 6, 6, 6]], change: 0, alike: 0.3 },
  {
    name: 'four golfers in turn',
    phases: [
      [4, 12],
      [6, 10],
      [8, 8],
      [10, 6],
    ],
    change: 1,
    alike: 0.3,
  },
  { name: 'one before, one after; roster of 15', phases: [[1, 1]], change: 0, alike: 0, roster: 15 },
];

/** Series of known change, with days that are alike to a known degree; and starts drawn at random where nothing changed. */
export const oneGolferCases: readonly KnownTruth[] = [
  ...CASES.map(
    (one, c): KnownTruth => ({
      study: 'one-golfer',
      name: one.name,
      rows: (cohorts, seed) => [changeRow(one, cohorts, createStream(seed, 'one-golfer', c))],
    }),
  ),
  ...[0, 0.6].map(
    (alike, k): KnownTruth => ({
      study: 'one-golfer',
      name: startDrawn(alike),
      rows: (cohorts, seed) => [testRow(alike, cohorts, createStream(seed, 'one-golfer', 'test', k))],
    }),
  ),
];

/** Days of form, each like the one before. */
function days(n: number, alike: number, stream: Stream): number[] {
  const form: number[] = [];
  for (let i = 0; i < n; i++)
    form.push(
      i === 0
        ? DAY_SD * stream.normal()
        : alike * form[i - 1]! + DAY_SD * Math.sqrt(1 - alike ** 2) * stream.normal(),
    );
  return form;
}

interface Rows {
  readonly sessions: RosterSession[];
  readonly swings: RosterSwing[];
}

function addGolfer(
  rows: Rows,
  golfer: string,
  phases: readonly number[],
  { change, alike }: Pick<Case, 'change' | 'alike'>,
  stream: Stream,
): void {
  const total = phases.reduce((sum, n) => sum + n, 0);
  const form = days(total, alike, stream);
  const level = 5 + 4 * stream.normal();
  let k = 0;
  phases.forEach((n, phase) => {
    const inB = phase % 2 === 1;
    for (let i = 0; i < n; i++) {
      const session = `${golfer}-${String(k + 1).padStart(3, '0')}`;
      const date = new Date(Date.UTC(2026, 0, 1 + k)).toISOString().slice(0, 10);
      const shared = { instructor: null, device: null, surface: null };
      rows.sessions.push({ session, golfer, date, phase: inB ? 'training' : 'baseline', ...shared });
      const mean = level + form[k]! + (inB ? change : 0);
      for (let s = 0; s < SWINGS; s++)
        rows.swings.push({
          swing: `${session}-${s + 1}`,
          session,
          task: 'full',
          value: mean + SWING_SD * stream.normal(),
        });
      k += 1;
    }
  });
}

function changeRow(one: Case, cohorts: number, stream: Stream): CalibrationRow {
  const tally = new Tally();
  for (let i = 0; i < cohorts; i++) {
    const own = stream.sub(i);
    const rows: Rows = { sessions: [], swings: [] };
    const golfers = one.phases.map((_, k) => `G${k + 1}`);
    one.phases.forEach((phases, k) => {
      addGolfer(rows, golfers[k]!, phases, one, own);
    });
    for (let k = 0; k < (one.roster ?? 0); k++) addGolfer(rows, `R${k + 1}`, [2], one, own);
    const values = valuesBySession(rows.swings);
    const series = golfers.map((golfer) => golferSeries(golfer, rows.sessions, values, null));
    const { value, interval } = mainChange(series, noiseSources(series, rows.sessions, values), 0.95);
    const verdict = verdictOf(interval, { value: SMALLEST, goodDirection: 1 });
    tally.verdict(verdict === 'meaningful' || (one.change === 0 && verdict === 'opposite'));
    if (value !== null && interval !== null) tally.count([found(value, interval, one.change)]);
  }
  return tally.row(
    {
      study: 'one-golfer',
      case: one.name,
      quantity: 'change',
      truth: one.change,
      nothingThere: one.change === 0,
      ...(one.alike >= 0.5 ? { why: VERY_ALIKE } : {}),
    },
    cohorts,
  );
}

function startDrawn(alike: number): string {
  return `start drawn of 21, days alike ${alike}`;
}

/** AB of 28 sessions with at least 4 in a phase (21 ways), nothing changed, the start drawn at random. */
function testRow(alike: number, cohorts: number, stream: Stream): CalibrationRow {
  const tally = new Tally();
  for (let i = 0; i < cohorts; i++) {
    const own = stream.sub(i);
    const values = days(28, alike, own);
    const starts = drawPhaseAssignment(28, 2, 4, own);
    const { p, difference, interval } = randomisationTest({ kind: 'phases', values, starts, least: 4 });
    tally.verdict(p <= 0.05);
    if (interval !== null) tally.count([found(difference, interval, 0)]);
  }
  return tally.row(
    {
      study: 'one-golfer',
      case: startDrawn(alike),
      quantity: 'randomisation test (p at or below 0.05 in place of a verdict)',
      truth: 0,
      nothingThere: true,
      mostFalse: MOST_FALSE_BY_TEST,
      claim: 'at-least',
      why: 'Of 21 possible starts the interval can only leave out whole starts: it holds the truth with 20 chances in 21 or more.',
    },
    cohorts,
  );
}
