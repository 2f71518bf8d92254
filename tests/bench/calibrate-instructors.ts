/**
 * Does the study of instructors tell the truth? Draws pupils of instructors who differ by a known amount, or not at all,
 * with case mix and a noisy start, and counts how often the 95% intervals hold the truth, how often instructors who do
 * not differ are said to differ enough to matter, and how often an order is made of them.
 *
 *   npx tsx tests/bench/calibrate-instructors.ts [cohorts per case, default 2000] [seed, default 1]
 *
 * Prints a table and writes reports/calibration-instructors.json.
 */
import { writeFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import { createStream } from '../../src/numerics/index.ts';
import { analyseInstructors, gain } from '../../src/studies/instructors/analyse.ts';
import { predictorsOf } from '../../src/studies/instructors/predictors.ts';
import type { Pupil } from '../../src/studies/instructors/pupils.ts';
import { verdictUnder } from '../../src/studies/instructors/sensitivity.ts';

export interface CalibrationRow {
  readonly study: 'instructors';
  readonly case: string;
  readonly quantity: string;
  readonly truth: number;
  readonly cohorts: number;
  readonly answered: number;
  readonly covered: number;
  readonly coveredError: number;
  readonly meaningful: number | null;
  readonly bias: number;
  readonly standardError: number;
}

interface Case {
  readonly name: string;
  readonly sizes: readonly number[];
  readonly betweenSd: number;
}

const UNEVEN = [6, 7, 8, 10, 12, 15, 9, 5];
const CASES: readonly Case[] = [
  { name: 'no difference, 8 instructors', sizes: UNEVEN, betweenSd: 0 },
  { name: 'small differences, 8 instructors', sizes: UNEVEN, betweenSd: 0.5 },
  { name: 'differences, 8 instructors', sizes: UNEVEN, betweenSd: 1.5 },
  { name: 'differences, 15 instructors', sizes: [...UNEVEN, 6, 8, 11, 7, 20, 9, 14], betweenSd: 1.5 },
];
const PUPIL_SD = 1.5;
/** What would matter: a difference between two instructors, in the unit of the gains. */
const SMALLEST = { value: 1, unit: 'deg', from: 'plan', why: 'calibration', goodDirection: 1 } as const;

/** Coverage over cohorts of known truth; the same seed gives the same rows. */
export function calibrateInstructors(cohorts: number, seed: number): CalibrationRow[] {
  return CASES.flatMap((one, c) => rowsOf(one, cohorts, seed, c));
}

function rowsOf(
  { name, sizes, betweenSd }: Case,
  cohorts: number,
  seed: number,
  c: number,
): CalibrationRow[] {
  const sd = new Tally(betweenSd);
  const effect = new Tally(0);
  const rank = new Tally(0);
  let meaningful = 0;
  let ordered = 0;
  let answered = 0;
  for (let k = 0; k < cohorts; k++) {
    const stream = createStream(seed, 'instructors', c, k);
    const truth = sizes.map(() => stream.normal(0, betweenSd));
    const mix = sizes.map(() => stream.normal(15, 5));
    const pupils: Pupil[] = sizes.flatMap((size, j) =>
      Array.from({ length: size }, (_, i) => {
        const handicap = stream.normal(mix[j], 4);
        const level = stream.normal(8 - 0.3 * handicap, 2);
        const noise = () => stream.normal(0, PUPIL_SD / Math.SQRT2);
        return {
          golfer: `G${j}-${i}`,
          instructor: `I${j}`,
          before: level + noise(),
          after: level + 0.05 * handicap + truth[j]! + noise(),
          swings: [],
          sessions: [],
          covariates: { handicap_index: handicap },
        };
      }),
    );
    const answer = analyseInstructors({
      pupils,
      predictors: predictorsOf(pupils, false, ['handicap_index']),
      result: gain,
      level: 0.95,
      goodDirection: 1,
      seed: k,
      draws: 1000,
    });
    if (answer === null) continue;
    answered += 1;
    if (verdictUnder(answer, SMALLEST) === 'meaningful') meaningful += 1;
    if (answer.ranked) ordered += 1;
    sd.count(answer.betweenSd.interval, answer.betweenSd.value, betweenSd);
    for (const row of answer.instructors) {
      const own = truth[Number(row.instructor.slice(1))]!;
      effect.count(row.interval, row.effect, own);
      if (row.rankInterval !== null)
        rank.count(row.rankInterval, row.rank!, 1 + truth.filter((value) => value > own).length);
    }
  }
  const row = (quantity: string, tally: Tally, more: number | null): CalibrationRow => ({
    study: 'instructors',
    case: name,
    quantity,
    truth: tally.truth,
    cohorts,
    answered,
    ...tally.summary(),
    meaningful: more,
  });
  return [
    row('SD between instructors', sd, meaningful / cohorts),
    row('effect of an instructor', effect, null),
    ...(betweenSd === 0 ? [] : [row('rank of an instructor, where ranked', rank, null)]),
    {
      study: 'instructors',
      case: name,
      quantity: 'cohorts in which an order was made',
      truth: betweenSd,
      cohorts,
      answered,
      covered: ordered / cohorts,
      coveredError: Math.sqrt(((ordered / cohorts) * (1 - ordered / cohorts)) / cohorts),
      meaningful: null,
      bias: 0,
      standardError: 0,
    },
  ];
}

class Tally {
  readonly truth: number;
  #held = 0;
  readonly #errors: number[] = [];

  constructor(truth: number) {
    this.truth = truth;
  }

  count([low, high]: readonly [number, number], value: number, truth: number): void {
    if (low <= truth && truth <= high) this.#held += 1;
    this.#errors.push(value - truth);
  }

  summary() {
    const n = this.#errors.length;
    const bias = n === 0 ? 0 : this.#errors.reduce((sum, error) => sum + error, 0) / n;
    const variance = this.#errors.reduce((sum, error) => sum + (error - bias) ** 2, 0) / Math.max(1, n - 1);
    const covered = n === 0 ? 0 : this.#held / n;
    return {
      covered,
      coveredError: n === 0 ? 0 : Math.sqrt((covered * (1 - covered)) / n),
      bias,
      standardError: n === 0 ? 0 : Math.sqrt(variance / n),
    };
  }
}

if (process.argv[1] !== undefined && import.meta.url === pathToFileURL(process.argv[1]).href) {
  const [cohorts = 2000, seed = 1] = process.argv.slice(2).map(Number);
  const rows = calibrateInstructors(cohorts, seed);
  for (const row of rows)
    console.log(
      `${row.case.padEnd(34)} ${row.quantity.padEnd(38)} ${(100 * row.covered).toFixed(1).padStart(6)}% +- ${(100 * row.coveredError).toFixed(1)}  meaningful ${row.meaningful === null ? '-' : `${(100 * row.meaningful).toFixed(2)}%`}  bias ${row.bias.toFixed(3)}`,
    );
  writeFileSync(
    new URL('../../reports/calibration-instructors.json', import.meta.url),
    `${JSON.stringify({ cohorts, seed, rows }, null, 2)}\n`,
  );
}
