import { createStream } from '../../../numerics/index.ts';
import { analyseInstructors, gain } from '../../instructors/analyse.ts';
import { predictorsOf } from '../../instructors/predictors.ts';
import type { Pupil } from '../../instructors/pupils.ts';
import { verdictUnder } from '../../instructors/sensitivity.ts';
import type { KnownTruth } from '../known-truth.ts';
import type { CalibrationRow } from '../row.ts';
import { type Found, found, Tally } from '../tally.ts';

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

const AT_THE_EDGE =
  'An SD cannot be below zero, so with a truth of zero, or one near it, the interval holds it more often than it says.';
const SHRUNKEN = 'Where instructors do not differ every best guess is drawn to zero, which is the truth.';
const WHOLE =
  'Ranks are whole numbers, so their intervals are closed at the next whole rank and hold the truth more often than they say.';

/** Pupils of instructors who differ by a known amount, or not at all, with case mix and a noisy start. */
export const instructorsCases: readonly KnownTruth[] = CASES.map((one, c) => ({
  study: 'instructors',
  name: one.name,
  rows: (cohorts, seed) => rowsOf(one, cohorts, seed, c),
}));

function rowsOf(
  { name, sizes, betweenSd }: Case,
  cohorts: number,
  seed: number,
  c: number,
): CalibrationRow[] {
  const sd = new Tally();
  const effect = new Tally();
  const rank = new Tally();
  const ordered = new Tally();
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
    sd.verdict(answer !== null && verdictUnder(answer, SMALLEST) === 'meaningful');
    ordered.verdict(answer?.ranked === true);
    if (answer === null) continue;
    sd.count([found(answer.betweenSd.value, answer.betweenSd.interval, betweenSd)]);
    const effects: Found[] = [];
    const ranks: Found[] = [];
    for (const row of answer.instructors) {
      const own = truth[Number(row.instructor.slice(1))]!;
      effects.push(found(row.effect, row.interval, own));
      if (row.rankInterval === null || row.rank === null) continue;
      const place = 1 + truth.filter((value) => value > own).length;
      ranks.push(found(row.rank, row.rankInterval, place));
    }
    effect.count(effects);
    rank.count(ranks);
  }
  const labels = { study: 'instructors', case: name, nothingThere: betweenSd === 0 } as const;
  return [
    sd.row(
      {
        ...labels,
        quantity: 'SD between instructors',
        truth: betweenSd,
        ...(betweenSd < 1 ? { claim: 'at-least', why: AT_THE_EDGE } : {}),
      },
      cohorts,
    ),
    effect.row(
      {
        ...labels,
        quantity: 'effect of an instructor',
        ...(betweenSd === 0 ? { claim: 'at-least', why: SHRUNKEN } : {}),
      },
      cohorts,
    ),
    ...(betweenSd === 0
      ? []
      : [
          rank.row(
            { ...labels, quantity: 'rank of an instructor, where ranked', claim: 'at-least', why: WHOLE },
            cohorts,
          ),
        ]),
    ordered.row({ ...labels, quantity: 'an order is made (in place of a verdict)' }, cohorts),
  ];
}
