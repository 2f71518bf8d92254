import type { CalibrationTables, JudgedRow } from '../calibration-tables.ts';
import type { Finding, FindingEstimate, Verdict } from '../finding.ts';
import { PACKAGE } from '../package-version.ts';
import type { StudyOutcome, StudyProblem } from '../study.ts';
import { answerWords, cautionsOf, checksOf, nextOf } from './calibration-words.ts';
import { drawRows } from './draw-rows.ts';
import { CALIBRATED_STUDIES, type CalibratedStudy, type CalibrationRow, MOST_FALSE_BY_TEST } from './row.ts';
import {
  BAND,
  coverageInterval,
  coverageStanding,
  falseStanding,
  MONTE_CARLO_LEVEL,
  meaningfulInterval,
} from './standing.ts';

/** Which studies are calibrated, and on how many cohorts. */
export interface CalibrationInput {
  /** All that can be calibrated where absent. */
  readonly studies?: readonly string[];
  /** Of each kind; 2000 where absent. */
  readonly cohorts?: number;
  readonly seed?: number;
  /** Threads; the finding does not depend on it. */
  readonly workers?: number;
}

const MOST_COHORTS = 100_000;

/**
 * Does the method tell the truth? Draws cohorts of known truth, puts each to its study, and counts how often 95% intervals
 * hold the truth and how often something is said to matter where nothing is there, with Monte Carlo errors.
 *
 * The verdict is `meaningful` where some study misses by more than matters, `too-small-to-matter` where every one does
 * as it says, and `cannot-tell` where the cohorts are too few. A request that makes no sense gives problems in words.
 *
 * @param progress told which kind of cohort is being drawn
 * @example
 * // 500 cohorts and more tell something
 * const outcome = await calibrationFinding({ studies: ['noise'], cohorts: 20, seed: 1 });
 * outcome.ok && outcome.finding.study // 'calibration'
 */
export async function calibrationFinding(
  input: CalibrationInput = {},
  progress: (step: string) => void = () => undefined,
): Promise<StudyOutcome<CalibrationTables>> {
  const problems = problemsOf(input);
  if (problems.length > 0) return { ok: false, problems };
  const { cohorts = 2000, seed = 1, workers = 1 } = input;
  const studies = CALIBRATED_STUDIES.filter((study) => input.studies?.includes(study) ?? true);
  const rows = await drawRows({ studies, cohorts, seed, workers }, progress);
  return { ok: true, finding: findingOfRows(rows, { cohorts, seed }) };
}

/**
 * The finding of rows that were drawn before, such as those of reports/calibration/.
 *
 * @param drawn how they were drawn: cohorts of each kind, and the seed
 * @throws Error where there is no row
 * @example
 * findingOfRows(rows, { cohorts: 2000, seed: 1 }).study // 'calibration'
 */
export function findingOfRows(
  rows: readonly CalibrationRow[],
  drawn: { readonly cohorts: number; readonly seed: number },
): Finding<CalibrationTables> {
  if (rows.length === 0)
    throw new Error('findingOfRows: there is no row; give at least one, such as those of drawRows.');
  const judged = rows.map(judge);
  const studies = CALIBRATED_STUDIES.filter((study) => rows.some((row) => row.study === study));
  const total = cohortsIn(judged);
  return {
    study: 'calibration',
    question: 'Does the method tell the truth?',
    answer: answerWords(judged),
    verdict: verdictOf(judged),
    estimates: estimatesOf(judged, studies),
    smallestChange: {
      value: 100 * (BAND.nominal - BAND.low),
      unit: POINTS,
      from: 'default',
      why: 'A 95% interval that holds the truth in 93.5 to 96.5% of cohorts is as good as its word for coaching; over 2,000 cohorts the share itself is known to about one percentage point.',
      goodDirection: 0,
    },
    metric: {
      column: 'coverage',
      label: 'share of the 95% intervals that hold the truth',
      unit: '%',
      meaning:
        'Cohorts are drawn of which the truth is known. Each is put to the study as if it were not, and it is counted how often the interval that the study gives holds it.',
    },
    design: {
      kind: 'simulation',
      words: `${total} cohorts of known truth in ${new Set(judged.map(kindOf)).size} kinds, put to ${studies.length === 1 ? 'one study' : `${studies.length} studies`}: ${studies.join(', ')}.`,
      golfers: 0,
      sessions: 0,
      swings: 0,
      arms: [],
    },
    leftOut: [],
    model: {
      words: `Every cohort is drawn at random from a seed (${drawn.seed}) and its own number, and goes through the numeric core of the study that answers about real data; what is in words, and the reading of files, is left aside. A coverage stands against the band of ${percent(BAND.low)} to ${percent(BAND.high)} by its Monte Carlo interval (Wilson's, 95%; where a cohort gives several intervals, its error is taken from cohort to cohort). Bias is the mean of estimate minus truth.`,
      objects: [],
    },
    checks: checksOf(judged, studies),
    sensitivity: [],
    cautions: cautionsOf(judged),
    planned: {
      planned: false,
      timing: 'no-plan',
      words:
        'The band, and what each interval promises, are written in the program; no data of golfers were used, so nothing in them could have suggested it. A promise that was changed after cohorts had been looked at says so in its row.',
      parts: [],
    },
    provenance: {
      package: PACKAGE.name,
      version: PACKAGE.version,
      inputs: [],
      definitions: [],
      seed: drawn.seed,
      command: [
        'calibrate',
        ...(studies.length === CALIBRATED_STUDIES.length ? [] : [`--study ${studies.join(',')}`]),
        `--cohorts ${drawn.cohorts}`,
        `--seed ${drawn.seed}`,
      ],
      date: '',
    },
    tables: { rows: judged, band: BAND },
    warnings: [],
    next: nextOf(judged),
  };
}

const POINTS = 'percentage points';

function judge(row: CalibrationRow): JudgedRow {
  return {
    ...row,
    coveredInterval: coverageInterval(row),
    meaningfulInterval: meaningfulInterval(row),
    standing: coverageStanding(row),
    falseAlarms: falseStanding(row),
  };
}

function verdictOf(rows: readonly JudgedRow[]): Verdict {
  const off = rows.some(
    ({ standing, falseAlarms }) =>
      standing === 'too-low' || standing === 'too-high' || falseAlarms === 'too-often',
  );
  if (off) return 'meaningful';
  const open = rows.some(
    ({ standing, falseAlarms, covered, answered, claim }) =>
      standing === 'cannot-tell' ||
      falseAlarms === 'cannot-tell' ||
      (claim !== 'none' && covered === null && answered === 0 && falseAlarms === 'not-asked'),
  );
  return open || rows.every(({ claim }) => claim === 'none') ? 'cannot-tell' : 'too-small-to-matter';
}

/** The coverage that is furthest from what was promised, in the direction that breaks the promise. */
function furthest(rows: readonly JudgedRow[]): JudgedRow | null {
  const miss = ({ covered, claim }: JudgedRow) =>
    claim === 'at-least' ? BAND.nominal - covered! : Math.abs(covered! - BAND.nominal);
  return rows
    .filter(({ covered, claim }) => covered !== null && claim !== 'none')
    .reduce<JudgedRow | null>(
      (worst, row) => (worst === null || miss(row) > miss(worst) ? row : worst),
      null,
    );
}

function estimatesOf(rows: readonly JudgedRow[], studies: readonly CalibratedStudy[]): FindingEstimate[] {
  const shared = { level: MONTE_CARLO_LEVEL, degreesOfFreedom: null };
  const worst = furthest(rows);
  const points = (share: number) => 100 * (share - BAND.nominal);
  const claimed = rows.filter(({ standing }) => standing !== 'not-claimed' && standing !== 'no-interval');
  const alarms = rows.filter(
    ({ falseAlarms, mostFalse }) => falseAlarms !== 'not-asked' && mostFalse! < MOST_FALSE_BY_TEST,
  );
  const loudest = alarms.reduce<JudgedRow | null>(
    (most, row) => (most === null || row.meaningful! > most.meaningful! ? row : most),
    null,
  );
  return [
    {
      ...shared,
      key: 'largest-miss',
      name: 'coverage that is furthest from 95%, less 95%',
      value: worst === null ? null : points(worst.covered!),
      interval:
        worst?.coveredInterval == null
          ? [null, null]
          : [points(worst.coveredInterval[0]), points(worst.coveredInterval[1])],
      unit: POINTS,
      meaning:
        worst === null
          ? 'No interval was given.'
          : `${place(worst)}. Its interval is of Monte Carlo error; it is the furthest of ${claimed.length}, and chance alone puts one of so many further out than most.`,
    },
    {
      ...shared,
      key: 'inside',
      name: 'coverages in the band, of those that promise 95%',
      value:
        claimed.length === 0
          ? null
          : (100 * claimed.filter(({ standing }) => standing === 'inside').length) / claimed.length,
      interval: [null, null],
      unit: '%',
      meaning: `${claimed.filter(({ standing }) => standing === 'inside').length} of ${claimed.length}.`,
    },
    ...(loudest === null
      ? []
      : [
          {
            ...shared,
            key: 'false-alarms',
            name: 'most often that a verdict finds something where nothing is there',
            value: 100 * loudest.meaningful!,
            interval: [100 * loudest.meaningfulInterval![0], 100 * loudest.meaningfulInterval![1]] as const,
            unit: '%',
            unsigned: true as const,
            meaning: `${place(loudest)}; the most of ${alarms.length}.`,
          },
        ]),
    ...studies.flatMap((study): FindingEstimate[] => {
      const own = furthest(rows.filter((row) => row.study === study));
      if (own?.coveredInterval == null) return [];
      return [
        {
          ...shared,
          key: 'coverage',
          name: `${study}: coverage that is furthest from its promise`,
          value: 100 * own.covered!,
          interval: [100 * own.coveredInterval[0], 100 * own.coveredInterval[1]],
          unit: '%',
          unsigned: true,
          meaning: `${place(own)}.`,
        },
      ];
    }),
  ];
}

function place({ study, case: name, quantity }: JudgedRow): string {
  return `${study}, ${name}: ${quantity}`;
}

function kindOf({ study, case: name }: JudgedRow): string {
  return `${study}\n${name}`;
}

function cohortsIn(rows: readonly JudgedRow[]): number {
  const kinds = new Map(rows.map((row) => [kindOf(row), row.cohorts]));
  return [...kinds.values()].reduce((sum, cohorts) => sum + cohorts, 0);
}

function percent(share: number): string {
  return `${Number((100 * share).toFixed(1))}%`;
}

function problemsOf({ studies, cohorts, seed, workers }: CalibrationInput): StudyProblem[] {
  const problems: StudyProblem[] = [];
  for (const name of studies ?? [])
    if (!(CALIBRATED_STUDIES as readonly string[]).includes(name))
      problems.push({
        where: '--study',
        found: `"${name}"`,
        expected: `a study that gives intervals: ${CALIBRATED_STUDIES.join(', ')}`,
        remedy: 'write one of these, letter for letter, or leave the word out for all',
      });
  const whole = (where: string, value: number | undefined, least: number, most: number) => {
    if (value === undefined || (Number.isSafeInteger(value) && value >= least && value <= most)) return;
    problems.push({
      where,
      found: String(value),
      expected: `a whole number from ${least} to ${most}`,
      remedy: 'correct it',
    });
  };
  if (studies?.length === 0)
    problems.push({
      where: '--study',
      found: 'none',
      expected: `one or more of: ${CALIBRATED_STUDIES.join(', ')}`,
      remedy: 'name one, or leave the word out for all',
    });
  whole('--cohorts', cohorts, 2, MOST_COHORTS);
  whole('--seed', seed, 0, Number.MAX_SAFE_INTEGER);
  whole('--workers', workers, 1, 256);
  return problems;
}
