import type { Dataset, Plan } from '../../dataset/index.ts';
import { moments, pureBetweenSd } from '../../stats/index.ts';
import type { InstructorsTables } from '../instructors-tables.ts';
import type { Covariate } from '../shared/covariates.ts';
import { applyExclusions } from '../shared/exclusions.ts';
import { rosterSessions, rosterSwings } from '../shared/roster.ts';
import { type Resolution, smallestChange } from '../shared/smallest-change.ts';
import { chooseMetric } from '../shared/study-metric.ts';
import { count } from '../shared/words.ts';
import type { Study, StudyOptions, StudyOutcome, StudyProblem } from '../study.ts';
import { analyseInstructors, gain } from './analyse.ts';
import { predictorsOf } from './predictors.ts';
import { gatherPupils, type Pupils } from './pupils.ts';
import { writeInstructors } from './write-finding.ts';

const FEWEST_INSTRUCTORS = 3;
const DEFAULT_SEED = 1;

/**
 * Can we tell instructors apart? Each pupil's gain (mean after less mean before), adjusted for the case mix, by instructor: how far instructors lie apart on average, each one's shrunken part, the interval of each rank, which pairs
 * can be told apart, and how many pupils it takes. Where no pair can be told apart there is no ranking, and the answer says
 * so; instructors with fewer than 5 pupils are not shown.
 *
 * The metric is the one asked for, else the plan's, else shaft lean at impact. Without `covariates` the handicap is
 * adjusted for where every pupil has one. Data that cannot be put to the question give problems in words.
 *
 * @example
 * // No difference between instructors was planted
 * const outcome = instructors(dataset, { metric: 'shaft_lean_impact_deg', seed: 7 });
 * outcome.ok && outcome.finding.verdict // 'cannot-tell'
 */
export function instructors(dataset: Dataset, options: StudyOptions = {}): StudyOutcome<InstructorsTables> {
  const plan = options.plan ?? null;
  const chosen = chooseMetric(dataset, options.metric, plan);
  if (!chosen.ok) return chosen;
  const { metric } = chosen;
  const golfers = dataset.tables.golfers.column('golfer_id').map((golfer) => golfer ?? '');
  const excluded = applyExclusions(
    { golfers, sessions: rosterSessions(dataset), swings: rosterSwings(dataset, metric.column) },
    plan,
    dataset,
  );
  if (excluded.problems.length > 0) return { ok: false, problems: excluded.problems };
  const covariates = adjustments(dataset, options, plan);
  const gathered = gatherPupils(dataset, excluded.data, plan, covariates);
  const problem = unanswerable(gathered, covariates, metric.column);
  if (problem !== null) return { ok: false, problems: [problem] };
  const { pupils } = gathered;
  const request = {
    pupils,
    predictors: predictorsOf(pupils, false, covariates),
    result: gain,
    level: plan?.level ?? 0.95,
    goodDirection: metric.goodDirection,
    seed: options.seed ?? plan?.seed ?? DEFAULT_SEED,
  };
  const answer = analyseInstructors(request);
  if (answer === null)
    return {
      ok: false,
      problems: [
        {
          where: `swings.csv, ${metric.column}`,
          found: 'nothing that varies between pupils, or fewer pupils than there are things to adjust for',
          expected: 'pupils who differ, and more of them than adjustments',
          remedy: 'Check the values, or adjust for less.',
        },
      ],
    };
  const planned =
    plan !== null && plan.metric.column === metric.column ? (plan.smallestChangeThatMatters ?? null) : null;
  const { smallest, cautions } = smallestChange(metric, planned, resolutionOf(gathered));
  return {
    ok: true,
    finding: writeInstructors({
      dataset,
      options,
      metric,
      excluded,
      gathered,
      covariates,
      request,
      answer,
      smallest,
      smallestCautions: cautions,
    }),
  };
}

/** What is adjusted for besides the start: as asked, as planned, or the handicap where every golfer has one. */
function adjustments(dataset: Dataset, options: StudyOptions, plan: Plan | null): readonly Covariate[] {
  const asked = options.covariates ?? plan?.model?.covariates;
  if (asked !== undefined) return asked;
  const handicaps = dataset.tables.golfers.column('handicap_index');
  return handicaps.length > 0 && handicaps.every((value) => !Number.isNaN(value)) ? ['handicap_index'] : [];
}

function unanswerable(
  { pupils, outside }: Pupils,
  covariates: readonly Covariate[],
  column: string,
): StudyProblem | null {
  const instructorsSeen = new Set(pupils.map(({ instructor }) => instructor)).size;
  if (instructorsSeen < FEWEST_INSTRUCTORS)
    return {
      where: 'sessions.csv, instructor_id and phase',
      found: `${count(instructorsSeen, 'instructor')} with pupils who have full swings with ${column} before and after${outside.length === 0 ? '' : ` (${count(outside.length, 'golfer')} cannot be used: ${outside[0]!.why}${outside.length > 1 ? ', and other reasons' : ''})`}`,
      expected: `at least ${FEWEST_INSTRUCTORS} instructors, since how much instructors differ cannot be told from fewer`,
      remedy: 'Fill in instructor_id and mark sessions baseline and post, or compare a drill instead.',
    };
  for (const name of covariates) {
    const without = pupils.filter((pupil) => (pupil.covariates[name] ?? null) === null).length;
    if (without > 0)
      return {
        where: `the adjustment for ${name}`,
        found: `no value for ${count(without, 'pupil')}`,
        expected: 'a value for every pupil who is compared',
        remedy: `Fill in ${name}, or ask without the adjustment.`,
      };
  }
  return null;
}

/** How noisy a pupil's mean is, from swings within a session, and how much pupils differ at the start. */
function resolutionOf({ pupils, swingSd, swingsInMean }: Pupils): Resolution {
  const typicalError = swingSd === null ? null : swingSd / Math.sqrt(swingsInMean);
  const starts = moments(pupils.map(({ before }) => before));
  return {
    typicalError,
    from: 'from the spread of swings; day-to-day differences are not in it',
    betweenSd: starts?.sd == null ? null : pureBetweenSd(starts.sd, (typicalError ?? 0) ** 2),
    atBaseline: true,
  };
}

/** The study as the registry lists it. */
export const instructorsStudy: Study<InstructorsTables> = {
  name: 'instructors',
  question: 'Can we tell instructors apart?',
  summary:
    'Compares what pupils of different instructors gain, fair to those with few pupils, and says how sure any order is. Needs instructor_id in sessions.csv, and swings at baseline and after.',
  covariates: ['handicap_index', 'height_cm', 'age_band', 'surface', 'device'],
  run: instructors,
};
