import type { Dataset } from '../../dataset/index.ts';
import { isMetricColumn } from '../../kinematics/index.ts';
import type { NoiseTables } from '../noise-tables.ts';
import { applyExclusions } from '../shared/exclusions.ts';
import { numbersOrMissing } from '../shared/roster.ts';
import { chooseMetric, metricsPresent, type StudyMetric, studyMetric } from '../shared/study-metric.ts';
import type { Study, StudyOptions, StudyOutcome, StudyProblem } from '../study.ts';
import { agreementOfDefinitions } from './agreement.ts';
import { fullSwings } from './full-swings.ts';
import { type NoiseData, noiseData } from './noise-data.ts';
import { writeAgreement } from './write-agreement.ts';
import { writeNoise } from './write-noise.ts';

/**
 * How noisy is this number? Variance by golfer, session and swing from the most trustworthy repeats in the data, the
 * standard error of measurement and the smallest detectable change of one swing and of a golfer's mean as measured now,
 * intraclass correlations in all six forms, how many sessions and swings make a change visible, and how devices agree.
 * The answer compares the smallest detectable change with the smallest change that matters (the plan's, the one asked
 * for, or 0.2 of the SD between golfers). With `against`, how far two metric columns agree on the same swings.
 *
 * Intervals: modified large sample for variances (Burdick and Graybill 1992), F for correlations, recovered for limits of
 * agreement (Zou 2013). Data that cannot be put to the question give problems in words; nothing is thrown for them.
 *
 * @example
 * const outcome = noise(dataset, { metric: 'shaft_lean_impact_deg' });
 * outcome.ok && outcome.finding.study // 'noise'
 */
export function noise(dataset: Dataset, options: StudyOptions = {}): StudyOutcome<NoiseTables> {
  const plan = options.plan ?? null;
  const chosen = chooseMetric(dataset, options.metric, plan);
  const problems = [
    ...(chosen.ok ? [] : chosen.problems),
    ...changeProblems(options.change),
    ...(chosen.ok && options.against !== undefined
      ? againstProblems(dataset, chosen.metric, options.against)
      : []),
  ];
  if (!chosen.ok || problems.length > 0) return { ok: false, problems };
  const { metric } = chosen;
  const excluded = applyExclusions(noiseData(dataset, metric, plan), plan, dataset);
  if (excluded.problems.length > 0) return { ok: false, problems: excluded.problems };
  const full = fullSwings(excluded.data);
  if (full.length === 0)
    return {
      ok: false,
      problems: [
        {
          where: `swings.csv, ${metric.column}`,
          found: `no full swing with a value for ${metric.label}`,
          expected: 'full swings, several to a golfer',
          remedy: 'Check the task of the swings, and whether the column is filled in.',
        },
      ],
    };
  const flat =
    full.length < 2 || variesInside(excluded.data, full) ? null : sameEverywhere(metric, full.length);
  if (flat !== null) return { ok: false, problems: [flat] };
  const request = { dataset, options, excluded, metric, level: plan?.level ?? 0.95 };
  if (options.against === undefined) return { ok: true, finding: writeNoise(request) };
  const other = studyMetric(options.against);
  const values = valuesBySwing(dataset, options.against);
  const agreement = agreementOfDefinitions(
    full,
    values,
    { first: metric.label, second: other.label },
    request.level,
  );
  if (agreement === null)
    return {
      ok: false,
      problems: [
        {
          where: `swings.csv, ${metric.column} and ${other.column}`,
          found: 'fewer than two golfers with full swings that have both numbers',
          expected: 'both numbers on the same swings, of two golfers or more',
          remedy: 'Fill in both columns, or compare two others.',
        },
      ],
    };
  return { ok: true, finding: writeAgreement({ ...request, agreement, other, values }) };
}

/** Whether any golfer with two swings or more has two different values, or nobody has two. */
function variesInside(
  { sessions }: Pick<NoiseData, 'sessions'>,
  full: readonly { readonly session: string; readonly value: number }[],
): boolean {
  const whose = new Map(sessions.map(({ session, golfer }) => [session, golfer]));
  const first = new Map<string, number>();
  let repeated = false;
  for (const { session, value } of full) {
    const golfer = whose.get(session) ?? '';
    const before = first.get(golfer);
    if (before === undefined) first.set(golfer, value);
    else if (before !== value) return true;
    else repeated = true;
  }
  return !repeated;
}

function sameEverywhere({ column }: StudyMetric, swings: number): StudyProblem {
  return {
    where: `swings.csv, ${column}`,
    found: `one and the same value in all swings of every golfer (${swings} swings)`,
    expected: 'values as they were measured, which differ from swing to swing',
    remedy:
      'Check whether the column was filled down or rounded; a number that never varies has no noise to tell.',
  };
}

function valuesBySwing(dataset: Dataset, column: string): ReadonlyMap<string, number> {
  const values = numbersOrMissing(dataset, column);
  return new Map(
    dataset.tables.swings.column('swing_id').flatMap((swing, i): [string, number][] => {
      const value = values[i] ?? null;
      return value === null ? [] : [[swing ?? '', value]];
    }),
  );
}

function changeProblems(change: number | undefined): StudyProblem[] {
  if (change === undefined || (Number.isFinite(change) && change > 0)) return [];
  return [
    {
      where: 'the change to be seen',
      found: String(change),
      expected: 'a number above 0, in the unit of the metric',
      remedy: 'Give the size of the change that would matter.',
    },
  ];
}

function againstProblems(dataset: Dataset, metric: StudyMetric, against: string): StudyProblem[] {
  const alike = metricsPresent(dataset).filter(
    (column) => column !== metric.column && studyMetric(column).unit === metric.unit,
  );
  if (alike.includes(against)) return [];
  const found = !isMetricColumn(against)
    ? `'${against}' is not a metric`
    : against === metric.column
      ? `${against} against itself`
      : studyMetric(against).unit === metric.unit
        ? `${against} has no value in swings.csv`
        : `${against} in ${studyMetric(against).unit}, against ${metric.column} in ${metric.unit}`;
  return [
    {
      where: 'the column compared with',
      found,
      expected:
        alike.length === 0
          ? `another metric in ${metric.unit} with values in swings.csv; there is none`
          : `a metric in the same unit with values: ${alike.join(', ')}`,
      remedy: 'Name one of these with --against, or leave it out.',
    },
  ];
}

/** The study as the registry lists it. */
export const noiseStudy: Study<NoiseTables> = {
  name: 'noise',
  question: 'How noisy is this number?',
  summary:
    'Parts the spread of a number into golfers, sessions, swings and devices, and says how small a change can be seen with how many sessions and swings. Needs golfers measured in two sessions or more, best with nothing taught in between.',
  run: noise,
};
