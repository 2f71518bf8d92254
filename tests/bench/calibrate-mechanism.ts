/**
 * Does the mechanism study tell the truth? Draws cohorts with planted paths and counts how often the 95% interval of the
 * slope inside golfers, and that of the indirect effect, hold the truth, and how often a verdict `meaningful` is given where
 * nothing is there inside golfers. The slope as measured stands beside the corrected one: it is too small where something is.
 *
 *   npx tsx tests/bench/calibrate-mechanism.ts [cohorts per case, default 2000] [seed, default 1]
 *
 * Prints a table and writes reports/calibration-mechanism.json.
 */
import { writeFileSync } from 'node:fs';
import { pathToFileURL } from 'node:url';
import { createStream } from '../../src/numerics/index.ts';
import { chainOf } from '../../src/studies/mechanism/analysis/chain.ts';
import { times } from '../../src/studies/mechanism/analysis/estimate.ts';
import { frameOf } from '../../src/studies/mechanism/analysis/frame.ts';
import { isSlope, slopeUnder } from '../../src/studies/mechanism/analysis/slope.ts';
import { smallestSlope } from '../../src/studies/mechanism/analysis/smallest-slope.ts';
import type { MechanismChoice } from '../../src/studies/mechanism/input/choice.ts';
import { perStep } from '../../src/studies/mechanism/input/columns.ts';
import { verdictOf } from '../../src/studies/shared/standing.ts';
import { studyMetric } from '../../src/studies/shared/study-metric.ts';
import { type Planted, plantedSwings } from '../studies/mechanism/cohort.ts';

export interface CalibrationRow {
  readonly study: 'mechanism';
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

const ELBOW = 'transition_elbow_change_deg';
const RELEASE = 'release_onset_ms';
const LEAN = 'shaft_lean_impact_deg';
const CHOICE: MechanismChoice = {
  predictor: ELBOW,
  mediator: RELEASE,
  outcome: LEAN,
  within: 'golfer',
  rule: 'all',
  held: [],
  corrected: true,
};

const [A, B, DIRECT] = [1.1, -0.14, -0.12];
const noise = { elbow: 1.5, release: 2.5 };
const CASES: readonly {
  readonly name: string;
  readonly planted: Planted;
  readonly slope: number;
  readonly indirect: number;
}[] = [
  { name: 'paths', planted: { golfers: 30, error: noise }, slope: A * B + DIRECT, indirect: A * B },
  {
    name: 'paths, golfers differ in their slopes',
    planted: { golfers: 30, error: noise, slopeSd: { a: 0.3, b: 0.04, direct: 0.06 } },
    slope: A * B + DIRECT,
    indirect: A * B,
  },
  {
    name: 'paths, 15 golfers',
    planted: { golfers: 15, error: noise },
    slope: A * B + DIRECT,
    indirect: A * B,
  },
  {
    name: 'only between golfers',
    planted: { golfers: 30, error: noise, a: 0, b: 0, direct: 0, between: -0.5 },
    slope: 0,
    indirect: 0,
  },
];

/** Counts over cohorts of each case; cohort k of a seed is always the same. */
export function calibrateMechanism(cohorts: number, seed: number): CalibrationRow[] {
  return CASES.flatMap(({ name, planted, slope, indirect }) => {
    const factor = perStep(ELBOW);
    const slopes: Counted[] = [];
    const measured: Counted[] = [];
    const indirects: Counted[] = [];
    let meaningful = 0;
    for (let k = 0; k < cohorts; k++) {
      const swings = plantedSwings(planted, seed * 1_000_003 + k);
      const answer = slopeUnder(swings, CHOICE, 0.95);
      if (isSlope(answer)) {
        const found = times(answer.within, factor);
        slopes.push({ value: found.value, interval: found.interval! });
        const plain = times(answer.uncorrected, factor);
        measured.push({ value: plain.value, interval: plain.interval! });
        const smallest = smallestSlope(answer.frame, ELBOW, studyMetric(LEAN), null);
        if (smallest !== null && verdictOf(found.interval, smallest) === 'meaningful') meaningful += 1;
      }
      const columns = [ELBOW, RELEASE, LEAN];
      const chain = chainOf({
        frame: frameOf(swings, columns),
        columns,
        corrected: true,
        level: 0.95,
        draws: 999,
        stream: createStream(seed, 'calibration', k),
      });
      if (chain !== null) {
        const found = times({ ...chain.routes[0]!.estimate, degreesOfFreedom: null }, factor);
        indirects.push({ value: found.value, interval: found.interval! });
      }
    }
    return [
      row(name, 'slope inside golfers', slope * factor, cohorts, slopes, meaningful / cohorts),
      row(name, 'slope inside golfers, as measured', slope * factor, cohorts, measured, null),
      row(name, 'indirect effect', indirect * factor, cohorts, indirects, null),
    ];
  });
}

interface Counted {
  readonly value: number;
  readonly interval: readonly [number, number];
}

function row(
  name: string,
  quantity: string,
  truth: number,
  cohorts: number,
  found: readonly Counted[],
  meaningful: number | null,
): CalibrationRow {
  const n = found.length;
  const covered = found.filter(({ interval: [low, high] }) => low <= truth && truth <= high).length / n;
  const mean = found.reduce((sum, { value }) => sum + value, 0) / n;
  const squares = found.reduce((sum, { value }) => sum + (value - mean) ** 2, 0);
  return {
    study: 'mechanism',
    case: name,
    quantity,
    truth,
    cohorts,
    answered: n,
    covered,
    coveredError: Math.sqrt((covered * (1 - covered)) / n),
    meaningful,
    bias: mean - truth,
    standardError: Math.sqrt(squares / (n - 1) / n),
  };
}

if (process.argv[1] !== undefined && import.meta.url === pathToFileURL(process.argv[1]).href) {
  const cohorts = Number(process.argv[2] ?? 2000);
  const seed = Number(process.argv[3] ?? 1);
  const rows = calibrateMechanism(cohorts, seed);
  for (const r of rows)
    console.log(
      `${r.case} | ${r.quantity} | truth ${r.truth.toFixed(3)}, bias ${r.bias.toFixed(4)} (error ${r.standardError.toFixed(4)}) | covered ${(100 * r.covered).toFixed(1)}% (error ${(100 * r.coveredError).toFixed(1)})${r.meaningful === null ? '' : ` | meaningful ${(100 * r.meaningful).toFixed(1)}%`} | answered ${r.answered} of ${r.cohorts}`,
    );
  writeFileSync(
    new URL('../../reports/calibration-mechanism.json', import.meta.url),
    `${JSON.stringify({ cohorts, seed, rows }, null, 2)}\n`,
  );
}
