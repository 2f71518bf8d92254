/**
 * Does the study of one golfer tell the truth? Draws series of known change, with days that are alike to a known degree and
 * swings within days, and counts how often the 95% interval of the change holds it and how often `meaningful` is said
 * where nothing changed; and how often the randomisation test gives p <= 0.05 there when the start is drawn at random.
 *
 *   npx tsx tests/bench/calibrate-one-golfer.ts [cohorts per case, default 2000] [seed, default 1]
 *
 * Prints a table and writes reports/calibration-one-golfer.json.
 */
import { writeFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import { createStream, type Stream } from '../../src/numerics/index.ts';
import { drawPhaseAssignment, randomisationTest } from '../../src/stats/index.ts';
import { mainChange } from '../../src/studies/one-golfer/analysis/change.ts';
import { noiseSources } from '../../src/studies/one-golfer/analysis/noise.ts';
import { golferSeries, valuesBySession } from '../../src/studies/one-golfer/input/series.ts';
import type { RosterSession, RosterSwing } from '../../src/studies/shared/roster.ts';
import { verdictOf } from '../../src/studies/shared/standing.ts';

export interface CalibrationRow {
  readonly study: 'one-golfer';
  readonly case: string;
  readonly quantity: string;
  readonly truth: number;
  readonly cohorts: number;
  readonly answered: number;
  /** Share of the answered whose 95% interval holds the truth, with its Monte Carlo standard error. */
  readonly covered: number | null;
  readonly coveredError: number | null;
  /** Share of all cohorts with a verdict `meaningful`; of the test, with p <= 0.05. */
  readonly meaningful: number;
  readonly bias: number | null;
  readonly standardError: number | null;
}

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

/** SD of a day's form, and of swings within a day. */
const DAY_SD = 1;
const SWING_SD = 2;
const SWINGS = 8;
const SMALLEST = 1;

export const CASES: readonly Case[] = [
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

/** How often intervals and verdicts of the study tell the truth, and its randomisation test errs. */
export function calibrateOneGolfer(cohorts: number, seed: number): CalibrationRow[] {
  return [
    ...CASES.map((one, c) => changeRow(one, cohorts, createStream(seed, 'one-golfer', c))),
    ...[0, 0.6].map((alike, k) => testRow(alike, cohorts, createStream(seed, 'one-golfer', 'test', k))),
  ];
}

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
  const estimates: number[] = [];
  let covered = 0;
  let meaningful = 0;
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
    if (verdictOf(interval, { value: SMALLEST, goodDirection: 1 }) === 'meaningful') meaningful += 1;
    if (value === null || interval === null) continue;
    estimates.push(value);
    if (interval[0] <= one.change && one.change <= interval[1]) covered += 1;
  }
  const n = estimates.length;
  const mean = estimates.reduce((sum, value) => sum + value, 0) / n;
  const spread = Math.sqrt(estimates.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (n - 1));
  const share = covered / n;
  return {
    study: 'one-golfer',
    case: one.name,
    quantity: 'change',
    truth: one.change,
    cohorts,
    answered: n,
    covered: share,
    coveredError: Math.sqrt((share * (1 - share)) / n),
    meaningful: meaningful / cohorts,
    bias: mean - one.change,
    standardError: spread / Math.sqrt(n),
  };
}

/** AB of 28 sessions with at least 4 in a phase (21 ways), nothing changed, the start drawn at random. */
function testRow(alike: number, cohorts: number, stream: Stream): CalibrationRow {
  let rejected = 0;
  let covered = 0;
  for (let i = 0; i < cohorts; i++) {
    const own = stream.sub(i);
    const values = days(28, alike, own);
    const starts = drawPhaseAssignment(28, 2, 4, own);
    const { p, interval } = randomisationTest({ kind: 'phases', values, starts, least: 4 });
    if (p <= 0.05) rejected += 1;
    if (interval !== null && interval[0] <= 0 && 0 <= interval[1]) covered += 1;
  }
  const share = covered / cohorts;
  return {
    study: 'one-golfer',
    case: `start drawn of 21, days alike ${alike}`,
    quantity: 'randomisation test',
    truth: 0,
    cohorts,
    answered: cohorts,
    covered: share,
    coveredError: Math.sqrt((share * (1 - share)) / cohorts),
    meaningful: rejected / cohorts,
    bias: null,
    standardError: null,
  };
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  const cohorts = Number(process.argv[2] ?? 2000);
  const seed = Number(process.argv[3] ?? 1);
  const table = calibrateOneGolfer(cohorts, seed);
  for (const row of table)
    console.log(
      `${row.case.padEnd(36)} ${row.quantity.padEnd(18)} truth ${row.truth}: covered ${row.covered?.toFixed(4)} (${row.coveredError?.toFixed(4)}), meaningful or p <= 0.05: ${row.meaningful.toFixed(4)}, bias ${row.bias?.toFixed(3) ?? '-'} (${row.standardError?.toFixed(3) ?? '-'})`,
    );
  writeFileSync(
    new URL('../../reports/calibration-one-golfer.json', import.meta.url),
    `${JSON.stringify({ cohorts, seed, table }, null, 2)}\n`,
  );
}
