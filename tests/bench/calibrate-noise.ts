/**
 * Does the noise study tell the truth? Draws golfers, sessions and swings of known variances and counts how often the 95%
 * interval of each size holds it, and how often a change of exactly the detectable size is called hidden. Also limits of
 * agreement from pairs nested in sessions of golfers.
 *
 *   npx tsx tests/bench/calibrate-noise.ts [cohorts per case, default 2000] [seed, default 1]
 *
 * Prints a table and writes reports/calibration-noise.json.
 */
import { writeFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import { createStream, type Stream } from '../../src/numerics/index.ts';
import { limitsFromPairs, minimalDetectableChange, type NestedValue } from '../../src/stats/index.ts';
import { analyseNoise, noiseStanding, noiseVerdict } from '../../src/studies/noise/analyse.ts';

export interface CalibrationRow {
  readonly study: 'noise';
  readonly case: string;
  readonly quantity: string;
  readonly truth: number;
  readonly cohorts: number;
  readonly answered: number;
  /** Share of the answered whose 95% interval holds the truth, with its Monte Carlo standard error. */
  readonly covered: number;
  readonly coveredError: number;
  /** Share of all cohorts with a verdict `meaningful`; null for a quantity that has no verdict. */
  readonly meaningful: number | null;
  readonly bias: number;
  /** Monte Carlo standard error of the bias. */
  readonly standardError: number;
}

interface Case {
  readonly name: string;
  readonly golfers: number;
  readonly sessions: number;
  readonly swings: number;
  readonly golferSd: number;
  readonly sessionSd: number;
  readonly swingSd: number;
  /** Sessions of a golfer and swings of a session vary: each but the first two (and the first swing) is lost with this chance. */
  readonly lost: number;
}

const CASES: readonly Case[] = [
  { name: 'balanced', golfers: 20, sessions: 3, swings: 8, golferSd: 4, sessionSd: 1, swingSd: 2, lost: 0 },
  { name: 'uneven', golfers: 20, sessions: 4, swings: 8, golferSd: 4, sessionSd: 1, swingSd: 2, lost: 0.35 },
  { name: 'few', golfers: 8, sessions: 2, swings: 5, golferSd: 4, sessionSd: 1.5, swingSd: 2, lost: 0 },
  {
    name: 'quiet days',
    golfers: 20,
    sessions: 3,
    swings: 8,
    golferSd: 4,
    sessionSd: 0.2,
    swingSd: 2,
    lost: 0,
  },
  {
    name: 'golfers alike',
    golfers: 20,
    sessions: 3,
    swings: 8,
    golferSd: 0.5,
    sessionSd: 1,
    swingSd: 2,
    lost: 0.2,
  },
];

/** Coverage of every size of noise, over cohorts of known truth; the same seed gives the same rows. */
export function calibrateNoise(cohorts: number, seed: number): CalibrationRow[] {
  return CASES.flatMap((one, c) => rowsOf(one, cohorts, seed, c));
}

interface Tally {
  readonly truth: number;
  covered: number;
  meaningful: number | null;
  readonly values: number[];
}

function rowsOf(one: Case, cohorts: number, seed: number, c: number): CalibrationRow[] {
  const { golferSd, sessionSd, swingSd, sessions, swings } = one;
  const error = (m: number, k: number) => Math.sqrt(sessionSd ** 2 / m + swingSd ** 2 / (m * k));
  const detectable = minimalDetectableChange(error(sessions, swings));
  const tally = (truth: number, meaningful: number | null = null): Tally => ({
    truth,
    covered: 0,
    meaningful,
    values: [],
  });
  const biasSd = 0.8;
  const difference = Math.sqrt(biasSd ** 2 + (0.5 * sessionSd) ** 2 + swingSd ** 2);
  const tallies = {
    'detectable-now': tally(detectable, 0),
    'detectable-one-swing': tally(minimalDetectableChange(error(1, 1))),
    'error-now': tally(error(sessions, swings)),
    'sd-golfer': tally(golferSd),
    'sd-session': tally(sessionSd),
    'sd-swing': tally(swingSd),
    'agreement mean': tally(1),
    'agreement lower limit': tally(1 - 1.96 * difference),
    'agreement upper limit': tally(1 + 1.96 * difference),
  };
  const add = (
    key: keyof typeof tallies,
    value: number | undefined,
    interval: readonly [number, number] | null | undefined,
  ) => {
    if (value === undefined || interval == null) return;
    const own = tallies[key];
    own.values.push(value);
    if (interval[0] <= own.truth && own.truth <= interval[1]) own.covered += 1;
  };
  for (let cohort = 0; cohort < cohorts; cohort++) {
    const stream = createStream(seed, 'noise', c, cohort);
    const rows = draw(one, stream, golferSd, sessionSd);
    const answer = analyseNoise(rows, { sessions, swings }, 0.95);
    add('detectable-now', answer.detectableNow?.value, answer.detectableNow?.interval);
    add('detectable-one-swing', answer.detectableOneSwing?.value, answer.detectableOneSwing?.interval);
    add('error-now', answer.errorNow?.value, answer.errorNow?.interval);
    add('sd-golfer', answer.golferSd?.value, answer.golferSd?.interval);
    add('sd-session', answer.sessionSd?.value, answer.sessionSd?.interval);
    add('sd-swing', answer.swingSd?.value, answer.swingSd?.interval);
    if (noiseVerdict(noiseStanding(answer, { value: detectable }, 'repeats')) === 'meaningful')
      tallies['detectable-now'].meaningful! += 1;
    const limits = limitsFromPairs(
      draw(one, stream, biasSd, 0.5 * sessionSd).map(({ unit, occasion, value }) => ({
        unit,
        occasion,
        difference: 1 + value,
      })),
    );
    add('agreement mean', limits?.mean.value, limits?.mean.interval);
    add('agreement lower limit', limits?.lower.value, limits?.lower.interval);
    add('agreement upper limit', limits?.upper.value, limits?.upper.interval);
  }
  return Object.entries(tallies).map(([quantity, { truth, covered, meaningful, values }]) => {
    const n = values.length;
    const share = covered / n;
    const mean = values.reduce((sum, value) => sum + value, 0) / n;
    const spread = Math.sqrt(values.reduce((sum, value) => sum + (value - mean) ** 2, 0) / (n - 1));
    return {
      study: 'noise',
      case: one.name,
      quantity,
      truth,
      cohorts,
      answered: n,
      covered: share,
      coveredError: Math.sqrt((share * (1 - share)) / n),
      meaningful: meaningful === null ? null : meaningful / cohorts,
      bias: mean - truth,
      standardError: spread / Math.sqrt(n),
    };
  });
}

function draw(
  { golfers, sessions, swings, swingSd, lost }: Case,
  stream: Stream,
  unitSd: number,
  daySd: number,
) {
  const rows: NestedValue[] = [];
  for (let g = 0; g < golfers; g++) {
    const level = unitSd * stream.normal();
    for (let s = 0; s < sessions; s++) {
      if (s > 1 && lost > 0 && stream.uniform() < lost) continue;
      const day = daySd * stream.normal();
      for (let k = 0; k < swings; k++) {
        if (k > 0 && lost > 0 && stream.uniform() < lost) continue;
        rows.push({ unit: `${g}`, occasion: `${g}-${s}`, value: level + day + swingSd * stream.normal() });
      }
    }
  }
  return rows;
}

if (import.meta.url === pathToFileURL(process.argv[1] ?? '').href) {
  const cohorts = Number(process.argv[2] ?? 2000);
  const seed = Number(process.argv[3] ?? 1);
  const table = calibrateNoise(cohorts, seed);
  for (const row of table)
    console.log(
      `${row.case} | ${row.quantity} | ${row.truth.toFixed(3)} | covered ${(100 * row.covered).toFixed(1)}% (error ${(100 * row.coveredError).toFixed(1)}) | bias ${row.bias.toFixed(3)} (error ${row.standardError.toFixed(3)})${row.meaningful === null ? '' : ` | meaningful ${(100 * row.meaningful).toFixed(1)}%`}`,
    );
  writeFileSync(
    new URL('../../reports/calibration-noise.json', import.meta.url),
    `${JSON.stringify({ cohorts, seed, table }, null, 2)}\n`,
  );
}
