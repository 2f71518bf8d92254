import type { Dataset, Plan } from '../../dataset/index.ts';
import type { PlannedPart, SmallestChange } from '../finding.ts';
import type { StudyOptions } from '../study.ts';
import { COVARIATE_WORDS, type Covariate } from './covariates.ts';
import { asPlanned, comparedPart, leftOpen } from './planned-parts.ts';
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

/** The parts that every study has. */
export function ownParts(request: PlannedRequest, plan: Plan): PlannedPart[] {
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
