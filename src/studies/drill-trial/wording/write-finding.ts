import type { Dataset } from '../../../dataset/index.ts';
import type { DrillTrialTables } from '../../drill-trial-tables.ts';
import type { Check, Finding } from '../../finding.ts';
import { provenanceOf } from '../../shared/provenance.ts';
import { metricOfFinding } from '../../shared/study-metric.ts';
import { summedCaution } from '../../shared/summed-words.ts';
import type { StudyOptions } from '../../study.ts';
import type { Answers } from '../analysis/ask.ts';
import { doseTable, groupTable } from '../analysis/golfer-table.ts';
import type { MainRequest } from '../analysis/main-analysis.ts';
import { checkAssumptions } from '../checks/checks.ts';
import { MANY_GOLFERS } from '../checks/leave-one-out.ts';
import { analyseSensitivity } from '../checks/sensitivity.ts';
import type { Design } from '../input/design.ts';
import type { TrialExtract } from '../input/extract.ts';
import type { PlacedRows } from '../input/rows.ts';
import { sharedCauses } from '../input/shared-causes.ts';
import { controlWords } from './arm-words.ts';
import { designWarnings, listCautions } from './cautions.ts';
import { describeDesign } from './describe-design.ts';
import { dropoutChecks } from './dropout-words.ts';
import { listEstimates, unanswered } from './estimates.ts';
import { leftOut } from './left-out.ts';
import { nextSteps } from './next-steps.ts';
import { plannedTrial } from './planned.ts';
import { regressionCheck } from './regression-words.ts';
import { answerOf } from './write-answer.ts';

export interface FindingParts {
  readonly dataset: Dataset;
  readonly options: StudyOptions;
  readonly extracted: TrialExtract;
  readonly design: Design;
  readonly placed: PlacedRows;
  readonly answers: Answers;
}

/** Puts the answers into words and into the shape that page, notebook and command line share. */
export function writeFinding(parts: FindingParts): Finding<DrillTrialTables> {
  const { dataset, options, extracted, design, placed, answers } = parts;
  const { metric } = extracted.data;
  const { main, request, golfers, flow, effect, smallest, verdict, dropouts, more } = answers;
  const planned = plannedTrial({
    dataset,
    options,
    metric,
    smallest,
    level: request.level,
    degreesOfFreedom: request.degreesOfFreedom,
    design,
    more,
  });
  const perArm = Math.min(...flow.map((row) => row.post));
  const checkRequest = {
    rows: placed.rows,
    golfers,
    design,
    main,
    metric,
    resolution: answers.resolution,
    level: request.level,
  };
  return {
    study: 'drill-trial',
    question: questionOf(options, design, metric.label),
    answer: answerOf(parts),
    verdict,
    estimates: listEstimates({ design, metric, level: request.level }, main, more),
    smallestChange: smallest,
    metric: metricOfFinding(metric),
    design: describeDesign(design, placed.rows, main, options.plan?.design),
    leftOut: leftOut(parts),
    model: { words: modelWords(answers), objects: modelObjects(answers) },
    checks: [
      ...checkAssumptions(checkRequest),
      ...dropoutChecks(dropouts, flow, metric, smallest, design.kind),
      ...regressionCheck(more.regression, design, metric),
      ...unanswered(more).map(({ name, why }): Check => ({ name, outcome: 'not-possible', words: why })),
    ],
    sensitivity: analyseSensitivity({
      rows: placed.rows,
      main: near(answers),
      arm: answers.arm,
      effect,
      smallest,
      unit: metric.unit,
      decimals: metric.decimals,
    }),
    cautions: listCautions(design, metric, flow, dropouts, [
      ...sharedCauses(placed.rows, extracted.data.sessions, design),
      ...answers.smallestCautions,
    ]),
    planned,
    provenance: provenanceOf('drill-trial', dataset, options, [metric]),
    tables: {
      golfers,
      groups: groupTable(placed.rows, design, request.level),
      flow,
      dose: design.kind === 'crossover' ? [] : doseTable(golfers),
      columns:
        design.kind === 'crossover'
          ? { before: `after ${controlWords(design.control!)}`, after: 'after the drill' }
          : { before: 'before', after: 'after' },
    },
    warnings: [
      ...(options.swingSums === undefined ? [] : [summedCaution(options.swingSums.rows)]),
      ...designWarnings(design),
      ...design.warnings,
      ...placed.warnings,
      ...main.notes,
    ],
    next: nextSteps(design, verdict, effect, smallest, perArm, more, metric.decimals, planned.planned),
  };
}

/** In a large trial every refit begins where the main fit ended, which saves most of its time. */
function near({ request, main, golfers }: Answers): MainRequest {
  return golfers.length > MANY_GOLFERS ? { ...request, near: main.fit } : request;
}

function questionOf(options: StudyOptions, design: Design, label: string): string {
  if (options.plan !== undefined) return options.plan.question;
  return design.kind === 'before-after'
    ? `Did ${label} change from before to after the drill?`
    : `Did the drill change ${label}?`;
}

function modelWords({ main, golfers }: Answers): string {
  const noise = golfers.every((golfer) => golfer.shrunken === null)
    ? ''
    : ` A golfer's own change is shrunken toward the arm's by how noisy it is, and its interval allows for what is not known of the SDs; where a phase has one visit, what that day did is in the golfer's change and not in the noise.`;
  return `${main.words}${main.objects.length > 0 && main.form === 'swings' ? noise : ''}`;
}

function modelObjects({ main, more }: Answers): unknown[] {
  const asked = [more.retention, more.carryOver, more.dose].flatMap((part) =>
    typeof part === 'string' ? [] : [part.model],
  );
  return [...main.objects, ...asked];
}
