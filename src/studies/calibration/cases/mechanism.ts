import { createStream } from '../../../numerics/index.ts';
import { chainOf } from '../../mechanism/analysis/chain.ts';
import { times } from '../../mechanism/analysis/estimate.ts';
import { frameOf } from '../../mechanism/analysis/frame.ts';
import { isSlope, slopeUnder } from '../../mechanism/analysis/slope.ts';
import { smallestSlope } from '../../mechanism/analysis/smallest-slope.ts';
import type { MechanismChoice } from '../../mechanism/input/choice.ts';
import { perStep } from '../../mechanism/input/columns.ts';
import { verdictOf } from '../../shared/standing.ts';
import { studyMetric } from '../../shared/study-metric.ts';
import type { KnownTruth } from '../known-truth.ts';
import type { CalibrationRow } from '../row.ts';
import { found, Tally } from '../tally.ts';
import { type Planted, plantedSwings } from './planted-paths.ts';

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
interface Case {
  readonly name: string;
  readonly planted: Planted;
  readonly slope: number;
  readonly indirect: number;
}

const CASES: readonly Case[] = [
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

const NO_WAY =
  'A way is a product of two slopes. Where both are zero the product lies far nearer to zero than its interval is wide.';
const AS_MEASURED =
  'The slope before it is corrected for the error of the predictor: too near to zero wherever there is a slope, which is why the study corrects it.';

/** Cohorts with planted paths, and one where only golfers' levels go together. */
export const mechanismCases: readonly KnownTruth[] = CASES.map((one) => ({
  study: 'mechanism',
  name: one.name,
  rows: (cohorts, seed) => rowsOf(one, cohorts, seed),
}));

function rowsOf({ name, planted, slope, indirect }: Case, cohorts: number, seed: number): CalibrationRow[] {
  const factor = perStep(ELBOW);
  const slopes = new Tally();
  const measured = new Tally();
  const indirects = new Tally();
  for (let k = 0; k < cohorts; k++) {
    const swings = plantedSwings(planted, seed * 1_000_003 + k);
    const answer = slopeUnder(swings, CHOICE, 0.95);
    let verdict = 'cannot-tell';
    if (isSlope(answer)) {
      const slopeInside = times(answer.within, factor);
      slopes.count([found(slopeInside.value, slopeInside.interval!, slope * factor)]);
      const plain = times(answer.uncorrected, factor);
      measured.count([found(plain.value, plain.interval!, slope * factor)]);
      const smallest = smallestSlope(answer.frame, ELBOW, studyMetric(LEAN), null);
      if (smallest !== null) verdict = verdictOf(slopeInside.interval, smallest);
    }
    slopes.verdict(verdict === 'meaningful' || (slope === 0 && verdict === 'opposite'));
    const columns = [ELBOW, RELEASE, LEAN];
    const chain = chainOf({
      frame: frameOf(swings, columns),
      columns,
      corrected: true,
      level: 0.95,
      draws: 999,
      stream: createStream(seed, 'calibration', k),
    });
    if (chain === null) continue;
    const way = times({ ...chain.routes[0]!.estimate, degreesOfFreedom: null }, factor);
    indirects.count([found(way.value, way.interval!, indirect * factor)]);
  }
  const labels = {
    study: 'mechanism',
    case: name,
    truth: slope * factor,
    nothingThere: slope === 0,
  } as const;
  return [
    slopes.row({ ...labels, quantity: 'slope inside golfers' }, cohorts),
    measured.row(
      {
        ...labels,
        quantity: 'slope inside golfers, as measured',
        ...(slope === 0 ? {} : { claim: 'none', why: AS_MEASURED }),
      },
      cohorts,
    ),
    indirects.row(
      {
        ...labels,
        quantity: 'indirect effect',
        truth: indirect * factor,
        ...(indirect === 0 ? { claim: 'at-least', why: NO_WAY } : {}),
      },
      cohorts,
    ),
  ];
}
