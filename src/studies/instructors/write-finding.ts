import type { Dataset } from '../../dataset/index.ts';
import type { Finding, LeftOut, SmallestChange } from '../finding.ts';
import type { InstructorsTables } from '../instructors-tables.ts';
import type { Covariate } from '../shared/covariates.ts';
import type { Excluded } from '../shared/exclusions.ts';
import { groupLeftOut } from '../shared/left-out.ts';
import { plannedOf } from '../shared/planned.ts';
import { leftOpen } from '../shared/planned-parts.ts';
import { provenanceOf } from '../shared/provenance.ts';
import type { RosterSession, RosterSwing } from '../shared/roster.ts';
import { metricOfFinding, type StudyMetric } from '../shared/study-metric.ts';
import { count, list } from '../shared/words.ts';
import type { StudyOptions } from '../study.ts';
import type { InstructorsAnswer, InstructorsRequest } from './analyse.ts';
import { instructorsChecks } from './checks.ts';
import { instructorsEstimates } from './estimates.ts';
import { type Pupils, pupilsInWords } from './pupils.ts';
import { instructorsSensitivity, verdictUnder } from './sensitivity.ts';
import { instructorsCautions, instructorsNext, instructorsSentence, noRankingWords } from './words.ts';

export interface InstructorsData {
  readonly golfers: readonly string[];
  readonly sessions: readonly RosterSession[];
  readonly swings: readonly RosterSwing[];
}

export interface InstructorsFinding {
  readonly dataset: Dataset;
  readonly options: StudyOptions;
  readonly metric: StudyMetric;
  readonly excluded: Excluded<InstructorsData>;
  readonly gathered: Pupils;
  readonly covariates: readonly Covariate[];
  readonly request: InstructorsRequest;
  readonly answer: InstructorsAnswer;
  readonly smallest: SmallestChange | null;
  readonly smallestCautions: readonly string[];
}

/** The answers in words, in the shape that every study shares. */
export function writeInstructors(given: InstructorsFinding): Finding<InstructorsTables> {
  const { dataset, options, metric, gathered, covariates, request, answer, smallest } = given;
  const { level, seed } = request;
  const { pupils } = gathered;
  const wording = { metric, answer, smallest, level };
  const adjusted = request.predictors.words;
  const planned = plannedOf({
    study: 'instructors',
    dataset,
    options: { ...options, seed },
    metric,
    smallest,
    level,
    parts: [
      leftOpen(
        'what pupils are made comparable by',
        adjusted.length === 0 ? 'nothing was adjusted for' : list(adjusted),
      ),
    ],
  });
  return {
    study: 'instructors',
    question:
      options.plan?.question ?? `Do pupils of different instructors gain differently in ${metric.label}?`,
    answer: instructorsSentence(wording),
    verdict: verdictUnder(answer, smallest),
    estimates: instructorsEstimates(answer, metric, level),
    smallestChange: smallest,
    metric: metricOfFinding(metric),
    design: {
      kind: 'roster',
      words: `${pupilsInWords(pupils)}, each measured before and after. A pupil belongs to the instructor of most of the sessions since the start.`,
      golfers: pupils.length,
      sessions: new Set(pupils.flatMap(({ sessions }) => sessions)).size,
      swings: pupils.reduce((sum, { swings }) => sum + swings.length, 0),
      arms: [],
    },
    leftOut: leftOut(given),
    model: { words: modelWords(adjusted, seed), objects: [modelObject(given)] },
    checks: instructorsChecks(gathered, answer, metric),
    sensitivity: instructorsSensitivity({ request, answer, covariates, metric, smallest }),
    cautions: [...instructorsCautions(answer, adjusted), ...given.smallestCautions],
    planned,
    provenance: provenanceOf('instructors', dataset, options, [metric], seed),
    tables: {
      instructors: answer.instructors,
      ranked: answer.ranked,
      noRanking: noRankingWords(wording),
      pairs: answer.pairs,
      hidden: answer.hidden,
      hiddenPupils: answer.hiddenPupils,
      reliability: answer.reliability,
      withinSd: answer.withinSd.value,
    },
    warnings: [],
    next: instructorsNext(wording, planned.planned),
  };
}

function leftOut({ excluded, gathered, metric }: InstructorsFinding): LeftOut[] {
  const used = new Set(gathered.pupils.flatMap(({ swings }) => swings));
  const whose = new Map(excluded.data.sessions.map((row) => [row.session, row]));
  const outside = new Map(gathered.outside.map(({ id, why }) => [id, why]));
  const whySwing = (row: RosterSwing): string => {
    const session = whose.get(row.session);
    if (session === undefined) return 'its session is not in the sessions table';
    if (row.task !== 'full') return `a ${row.task} swing, not a full one`;
    if (row.value === null) return `${metric.label} is missing (empty cell)`;
    const why = outside.get(session.golfer);
    return why === undefined
      ? `made at ${session.phase}, between or beyond the compared phases`
      : `its golfer is not compared: ${why}`;
  };
  const away = new Set(excluded.golfers.map(({ id }) => id));
  return [
    ...groupLeftOut('golfers', [...excluded.golfers, ...gathered.outside.filter(({ id }) => !away.has(id))]),
    ...groupLeftOut('sessions', excluded.sessions),
    ...groupLeftOut('swings', [
      ...excluded.swings,
      ...excluded.data.swings
        .filter((row) => !used.has(row.swing))
        .map((row) => ({ id: row.swing, why: whySwing(row) })),
    ]),
  ];
}

function modelWords(adjusted: readonly string[], seed: number): string {
  const start = `Each pupil's gain is the mean after less the mean before${adjusted.length === 0 ? '' : `, compared with what ${list(adjusted)} ${adjusted.length === 1 ? 'lets' : 'let'} expect`}`;
  return `${start}. What is left has a part that pupils of one instructor share and a part of the pupil's own, both normal. The two SDs, the adjustment and every instructor's part are drawn together, ${count(4000, 'time')}, from their joint distribution given the data (flat in the adjustment, in the SD between instructors and in the logarithm of the SD between pupils; Gelman 2006), with seed ${seed}. An interval of an SD is the shortest that holds its level of the draws. Ranks are counted in each draw, so that an interval of a rank says in how many of these worlds the rank is what it is (Goldstein and Spiegelhalter 1996).`;
}

function modelObject({ metric, request, covariates }: InstructorsFinding): unknown {
  return {
    outcome: `${metric.column}, mean of a pupil after less mean before`,
    adjustedFor: covariates,
    group: 'instructor_id',
    draws: 4000,
    seed: request.seed,
    level: request.level,
  };
}
