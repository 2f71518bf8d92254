import { createStream, type Stream } from '../../../numerics/index.ts';
import { limitsFromPairs, minimalDetectableChange, type NestedValue } from '../../../stats/index.ts';
import { analyseNoise, noiseStanding, noiseVerdict } from '../../noise/analyse.ts';
import type { KnownTruth } from '../known-truth.ts';
import type { CalibrationRow } from '../row.ts';
import { found, Tally } from '../tally.ts';

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

const FEW_GOLFERS =
  'With 8 golfers the variances behind a limit of agreement have few degrees of freedom, and their joint interval is wide.';

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

/** Golfers, sessions and swings of known variances; and pairs nested in them, for limits of agreement. */
export const noiseCases: readonly KnownTruth[] = CASES.map((one, c) => ({
  study: 'noise',
  name: one.name,
  rows: (cohorts, seed) => rowsOf(one, cohorts, seed, c),
}));

interface Interval {
  readonly value: number;
  readonly interval: readonly [number, number] | null;
}

function rowsOf(one: Case, cohorts: number, seed: number, c: number): CalibrationRow[] {
  const { golferSd, sessionSd, swingSd, sessions, swings } = one;
  const error = (m: number, k: number) => Math.sqrt(sessionSd ** 2 / m + swingSd ** 2 / (m * k));
  const detectable = minimalDetectableChange(error(sessions, swings));
  const biasSd = 0.8;
  const difference = Math.sqrt(biasSd ** 2 + (0.5 * sessionSd) ** 2 + swingSd ** 2);
  const truths = {
    'change that can be seen, as measured now': detectable,
    'change that can be seen, one swing': minimalDetectableChange(error(1, 1)),
    'error of a mean, as measured now': error(sessions, swings),
    'SD between golfers': golferSd,
    'SD between sessions': sessionSd,
    'SD between swings': swingSd,
    'mean difference of two devices': 1,
    'lower limit of agreement': 1 - 1.96 * difference,
    'upper limit of agreement': 1 + 1.96 * difference,
  } as const;
  const tallies = new Map(Object.keys(truths).map((name) => [name, new Tally()]));
  const add = (quantity: keyof typeof truths, size: Interval | null | undefined) => {
    if (size == null || size.interval === null) return;
    const { value, interval } = size;
    tallies.get(quantity)!.count([found(value, interval, truths[quantity])]);
  };
  for (let cohort = 0; cohort < cohorts; cohort++) {
    const stream = createStream(seed, 'noise', c, cohort);
    const answer = analyseNoise(draw(one, stream, golferSd, sessionSd), { sessions, swings }, 0.95);
    add('change that can be seen, as measured now', answer.detectableNow);
    add('change that can be seen, one swing', answer.detectableOneSwing);
    add('error of a mean, as measured now', answer.errorNow);
    add('SD between golfers', answer.golferSd);
    add('SD between sessions', answer.sessionSd);
    add('SD between swings', answer.swingSd);
    // A change of exactly the size that can be seen is at the edge: to call it hidden is the error.
    tallies
      .get('change that can be seen, as measured now')!
      .verdict(noiseVerdict(noiseStanding(answer, { value: detectable }, 'repeats')) === 'meaningful');
    const limits = limitsFromPairs(
      draw(one, stream, biasSd, 0.5 * sessionSd).map(({ unit, occasion, value }) => ({
        unit,
        occasion,
        difference: 1 + value,
      })),
    );
    add('mean difference of two devices', limits?.mean);
    add('lower limit of agreement', limits?.lower);
    add('upper limit of agreement', limits?.upper);
  }
  return Object.entries(truths).map(([quantity, truth]) =>
    tallies.get(quantity)!.row(
      {
        study: 'noise',
        case: one.name,
        quantity,
        truth,
        nothingThere: quantity === 'change that can be seen, as measured now',
        ...(one.golfers < 10 && quantity.endsWith('limit of agreement') ? { why: FEW_GOLFERS } : {}),
      },
      cohorts,
    ),
  );
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
