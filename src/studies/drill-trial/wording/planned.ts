import type { Dataset } from '../../../dataset/index.ts';
import type { Planned, PlannedPart, SmallestChange } from '../../finding.ts';
import { plannedOf } from '../../shared/planned.ts';
import { asPlanned, changed, comparedPart, leftOpen } from '../../shared/planned-parts.ts';
import type { StudyMetric } from '../../shared/study-metric.ts';
import { list } from '../../shared/words.ts';
import type { StudyOptions } from '../../study.ts';
import type { SmallSample } from '../analysis/cell-model.ts';
import type { FollowUps } from '../analysis/follow-ups.ts';
import type { Design } from '../input/design.ts';
import { designName } from '../input/design-problems.ts';

export interface TrialPlanned {
  readonly dataset: Dataset;
  readonly options: StudyOptions;
  readonly metric: StudyMetric;
  readonly smallest: SmallestChange | null;
  readonly level: number;
  readonly degreesOfFreedom: SmallSample;
  readonly design: Design;
  readonly more: Pick<FollowUps, 'retention' | 'carryOver' | 'dose' | 'responses'>;
}

/** Whether this question was written down beforehand, and each part of the answer against the plan. */
export function plannedTrial(trial: TrialPlanned): Planned {
  return plannedOf({ study: 'drill-trial', ...trial, parts: trialParts(trial) });
}

function trialParts({ options, design, more }: TrialPlanned): PlannedPart[] {
  const { plan } = options;
  if (plan === undefined) return [];
  const kind = plan.design === 'infer' ? undefined : plan.design;
  return [
    comparedPart(
      'the design',
      kind === undefined ? undefined : designName(kind),
      designName(design.kind),
      `${designName(design.kind)}, recognised from the assignments`,
    ),
    armsPart(plan.arms, design),
    phasesPart(plan.phases),
    ...followUpParts(plan.phases?.retention !== undefined, more),
  ];
}

function armsPart(
  planned: { readonly control?: string; readonly drill: readonly string[] } | undefined,
  design: Design,
): PlannedPart {
  const part = 'the arms';
  const compared = armWords(design.drills, design.control);
  if (planned === undefined) return leftOpen(part, `${compared}, read from the names of the arms`);
  const wished = armWords(planned.drill, planned.control ?? null);
  return wished === compared
    ? asPlanned(part, `${compared}.`)
    : changed(part, `The plan compares ${wished}; the answer compares ${compared}.`);
}

function armWords(drills: readonly string[], control: string | null): string {
  const quoted = list(drills.map((arm) => `'${arm}'`));
  return control === null ? `${quoted} without a control` : `${quoted} with '${control}'`;
}

function phasesPart(phases: { readonly before: string; readonly after: string } | undefined): PlannedPart {
  return phases === undefined
    ? leftOpen('the phases that are compared', 'baseline and post were')
    : asPlanned('the phases that are compared', `${phases.before} and ${phases.after}.`);
}

/** What is answered besides the main question: planned only where the plan names it. */
function followUpParts(
  retentionPlanned: boolean,
  { retention, carryOver, dose, responses }: TrialPlanned['more'],
): PlannedPart[] {
  const found = (name: string, answered: boolean): PlannedPart[] =>
    answered
      ? [{ part: name, state: 'exploratory', words: 'Asked by the study and not named in the plan.' }]
      : [];
  return [
    ...(retentionPlanned && typeof retention !== 'string'
      ? [asPlanned('retention', 'The plan names the phase.')]
      : found('retention', typeof retention !== 'string')),
    ...(retentionPlanned && typeof retention === 'string'
      ? [changed('retention', `The plan names a phase for it, and it could not be answered: ${retention}`)]
      : []),
    ...found('carry-over from drill speed', typeof carryOver !== 'string'),
    ...found('dose', typeof dose !== 'string'),
    ...found(
      'individual responses',
      [...responses.values()].some((answer) => typeof answer !== 'string'),
    ),
  ];
}
