import type { Dataset, PhaseCounts, Plan, PlanLock } from '../../dataset/index.ts';
import type { Planned, PlannedPart, PlannedTiming, SmallestChange } from '../finding.ts';
import type { StudyOptions } from '../study.ts';
import { COVARIATE_WORDS, type Covariate } from './covariates.ts';
import { stoppingPart } from './planned-stopping.ts';
import type { StudyMetric } from './study-metric.ts';
import { count, list } from './words.ts';

export interface PlannedRequest {
  /** The study that answers. */
  readonly study: string;
  readonly dataset: Dataset;
  readonly options: Pick<StudyOptions, 'plan' | 'lock' | 'seed' | 'covariates'>;
  readonly metric: Pick<StudyMetric, 'column' | 'version'>;
  /** The smallest change the verdict was set against; left out by a study that has none. */
  readonly smallest?: SmallestChange | null;
  /** The confidence level of the intervals. */
  readonly level?: number;
  /** How degrees of freedom were found, where the study's model has a choice of it. */
  readonly degreesOfFreedom?: string | null;
  /** What the study itself says of its design and of the other parts of its answer, in order. */
  readonly parts?: readonly PlannedPart[];
}

/**
 * Whether the question was written down beforehand, and of each part of the answer: as planned, changed (how), or
 * exploratory. With a locked plan, also what data there were when it was locked, and whether they are still the same.
 *
 * @example plannedOf({ study: 'noise', dataset, options, metric, parts: [leftOpen('the device', 'all were used')] })
 */
export function plannedOf(request: PlannedRequest): Planned {
  const { study, options, metric } = request;
  const plan = options.plan ?? null;
  if (plan === null)
    return {
      planned: false,
      timing: 'no-plan',
      words:
        'No plan was given, so this is exploratory: the number, the comparison and the smallest change were chosen with the data at hand. Take it as a reason to plan, and to collect anew.',
      parts: [],
    };
  const timing = timingOf(plan, options.lock);
  const foreign =
    plan.study !== study
      ? `The plan is for the study ${plan.study}; this answer of ${study} was not planned and is exploratory.`
      : plan.metric.column !== metric.column
        ? `The plan is about ${plan.metric.column}; this answer about ${metric.column} was not planned and is exploratory.`
        : null;
  if (foreign !== null)
    return {
      planned: false,
      timing,
      words: `${foreign} ${lockWords(plan, options.lock)}`,
      parts: [{ part: 'the question', state: 'changed', words: foreign }, ...dataParts(options.lock)],
    };
  const parts = [...ownParts(request, plan), ...(request.parts ?? []), ...dataParts(options.lock)];
  return { planned: true, timing, words: `${summary(parts)} ${lockWords(plan, options.lock)}`, parts };
}

/** A part done as the plan says. */
export function asPlanned(part: string, words = ''): PlannedPart {
  return { part, state: 'as-planned', words };
}

/** A part the plan says nothing of; `words` say what was done. */
export function leftOpen(part: string, words: string): PlannedPart {
  return { part, state: 'exploratory', words: `The plan leaves this open: ${words}.` };
}

/** A part done otherwise than the plan says. */
export function changed(part: string, words: string): PlannedPart {
  return { part, state: 'changed', words };
}

/** A choice of the study set against the plan's: `as planned`, `changed` from what to what, or left open. */
export function comparedPart(
  part: string,
  planned: string | number | undefined,
  done: string | number,
  unplannedWords = `${done} was taken, the study's stated default`,
): PlannedPart {
  if (planned === undefined) return leftOpen(part, unplannedWords);
  return planned === done
    ? asPlanned(part, `${done}.`)
    : changed(part, `The plan says ${planned}; the answer takes ${done}.`);
}

/** The parts that every study has. */
function ownParts(request: PlannedRequest, plan: Plan): PlannedPart[] {
  const { dataset, options, metric, smallest, level, degreesOfFreedom } = request;
  const rules = plan.exclusionRules?.length ?? 0;
  const ids = plan.exclusions?.length ?? 0;
  return [
    asPlanned('the question', plan.question),
    asPlanned('the number that decides', `${metric.column}.`),
    comparedPart(
      'its definition',
      plan.metric.version === undefined ? undefined : `version ${plan.metric.version}`,
      `version ${metric.version}`,
      `version ${metric.version}, the one in the catalogue now, was taken`,
    ),
    ...(smallest === undefined ? [] : [smallestPart(plan, smallest)]),
    ...(level === undefined
      ? []
      : [comparedPart('the level of intervals', percentOf(plan.level), percentOf(level)!)]),
    ...(degreesOfFreedom == null
      ? []
      : [comparedPart('degrees of freedom', plan.model?.degreesOfFreedom, degreesOfFreedom)]),
    ...adjustment(plan.model?.covariates ?? [], options.covariates ?? []),
    rules + ids === 0
      ? asPlanned(
          'exclusions',
          'The plan names none, and nothing was excluded beyond what the study cannot use.',
        )
      : asPlanned(
          'exclusions',
          `${list([...(rules > 0 ? [count(rules, 'rule')] : []), ...(ids > 0 ? [count(ids, 'id')] : [])])} of the plan applied; nothing else was excluded beyond what the study cannot use.`,
        ),
    ...(options.seed === undefined && plan.seed === undefined
      ? []
      : [seedPart(plan.seed, options.seed ?? plan.seed!)]),
    stoppingPart(plan, dataset),
  ];
}

function adjustment(planned: readonly Covariate[], done: readonly Covariate[]): PlannedPart[] {
  if (planned.length + done.length === 0) return [];
  const words = (names: readonly Covariate[]) =>
    names.length === 0 ? 'nothing' : list([...names].sort().map((name) => COVARIATE_WORDS[name]));
  return [comparedPart('what the answer is adjusted for', words(planned), words(done))];
}

function smallestPart(plan: Plan, smallest: SmallestChange | null): PlannedPart {
  const part = 'the smallest change that matters';
  if (smallest === null) return leftOpen(part, 'none could be taken as a default, so no verdict was given');
  if (smallest.from === 'asked')
    return comparedPart(
      part,
      plan.smallestChangeThatMatters?.value,
      smallest.value,
      `${smallest.value} ${smallest.unit} was given with the question`,
    );
  return smallest.from === 'plan'
    ? asPlanned(part, `${smallest.value} ${smallest.unit}.`)
    : leftOpen(part, "the study's stated default was taken, which looks at the data");
}

function seedPart(planned: number | undefined, used: number): PlannedPart {
  return comparedPart('the seed', planned, used, `${used} was taken`);
}

function percentOf(level: number | undefined): string | undefined {
  return level === undefined ? undefined : `${Number((100 * level).toFixed(1))}%`;
}

/** Whether what was there when the plan was locked is as it was. */
function dataParts(lock: PlanLock | undefined): PlannedPart[] {
  if (lock === undefined) return [];
  if (lock.changes.length === 0)
    return [asPlanned('the data at the lock', 'Every row that was there then is there unchanged.')];
  return lock.changes.map(({ where, what }) => changed('the data at the lock', `${where}: ${what}.`));
}

function summary(parts: readonly PlannedPart[]): string {
  const named = (state: PlannedPart['state']) => [
    ...new Set(parts.filter((part) => part.state === state).map(({ part }) => part)),
  ];
  const altered = named('changed');
  const open = named('exploratory');
  return [
    'The question and the number were written in a plan.',
    altered.length === 0 ? null : `Changed against it: ${list(altered)}.`,
    open.length === 0 ? null : `It left open, so that this is exploratory: ${list(open)}.`,
  ]
    .filter((sentence) => sentence !== null)
    .join(' ');
}

/** What of the answer could be known when the plan was locked. */
function timingOf(plan: Plan, lock: PlanLock | undefined): PlannedTiming {
  if (lock === undefined) return 'not-known';
  const values = lock.had.metricValues;
  if (total(values) === 0) return 'before-the-data';
  const before = plan.phases?.before ?? 'baseline';
  return total(values) === values[before] ? 'after-the-first-phase' : 'after-the-data';
}

function lockWords(plan: Plan, lock: PlanLock | undefined): string {
  if (lock === undefined)
    return 'Whether the plan was written before the data came in cannot be seen from the plan itself: lock a plan before the first session.';
  const { seal, had } = lock;
  const sessions = phasesInWords(had.sessions);
  const found =
    total(had.sessions) === 0
      ? 'when no session was in the data'
      : `when ${sessions} were in the data, with ${count(total(had.metricValues), 'value')} of ${plan.metric.column}`;
  const timing = timingOf(plan, lock);
  const meaning =
    timing === 'before-the-data'
      ? 'Nothing of the answer could be known then.'
      : timing === 'after-the-first-phase'
        ? 'Where golfers stood at the start could be known then, and nothing of what came after.'
        : 'Some of the answer could be known then, so the plan does not show that the question came first.';
  return `The plan was locked ${found} (seal ${seal.slice(0, 16)}). ${meaning} The seal shows this only to those who were told it at that time.`;
}

function phasesInWords(counts: PhaseCounts): string {
  const named = Object.entries(counts).filter(([, n]) => n > 0);
  return list(named.map(([phase, n]) => count(n, `${phase} session`)));
}

function total(counts: PhaseCounts): number {
  return Object.values(counts).reduce((sum, n) => sum + n, 0);
}
