import type { Dataset } from '../../dataset/index.ts';
import type { DrillTrialTables, GolferChange } from '../drill-trial-tables.ts';
import type { Check, Finding, LeftOut } from '../finding.ts';
import { PACKAGE } from '../package-version.ts';
import type { StudyOptions } from '../study.ts';
import { type AnswerParts, answerSentence } from './answer.ts';
import type { Answers } from './ask.ts';
import { listCautions } from './cautions.ts';
import { checkAssumptions } from './checks.ts';
import { describeDesign } from './describe-design.ts';
import { comparedArms, type Design } from './design.ts';
import { dropoutChecks } from './dropout-words.ts';
import { NO_EFFECT } from './effect.ts';
import { listEstimates, unanswered } from './estimates.ts';
import type { Excluded } from './exclusions.ts';
import { doseTable, groupTable } from './golfer-table.ts';
import { nextSteps } from './next-steps.ts';
import { plannedWords } from './planned.ts';
import { regressionCheck } from './regression-words.ts';
import { groupLeftOut, outsideComparison, type PlacedRows } from './rows.ts';
import { analyseSensitivity } from './sensitivity.ts';
import { sharedCauses } from './shared-causes.ts';
import { controlGroupWords, controlWords, list } from './words.ts';

export interface FindingParts {
  readonly dataset: Dataset;
  readonly options: StudyOptions;
  readonly excluded: Excluded;
  readonly design: Design;
  readonly placed: PlacedRows;
  readonly answers: Answers;
}

/** Puts the answers into words and into the shape that page, notebook and command line share. */
export function writeFinding(parts: FindingParts): Finding<DrillTrialTables> {
  const { dataset, options, excluded, design, placed, answers } = parts;
  const { metric } = excluded.data;
  const { main, request, golfers, flow, effect, smallest, verdict, dropouts, more } = answers;
  const planned = plannedWords(options.plan ?? null, metric.column, design);
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
    metric: { column: metric.column, label: metric.label, unit: metric.unit, meaning: metric.meaning },
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
      main: request,
      arm: answers.arm,
      effect,
      smallest,
      unit: metric.unit,
      decimals: metric.decimals,
    }),
    cautions: listCautions(design, metric, flow, dropouts, [
      ...sharedCauses(placed.rows, excluded.data.sessions, design),
      ...answers.smallestCautions,
    ]),
    planned,
    provenance: {
      package: PACKAGE.name,
      version: PACKAGE.version,
      inputs: [...dataset.files, ...(options.planFile === undefined ? [] : [options.planFile])].sort(
        (a, b) => (a.file < b.file ? -1 : 1),
      ),
      definitions: [{ metric: metric.column, version: metric.version }],
      seed: options.seed ?? null,
      date: dataset.newestDate ?? '',
    },
    tables: {
      golfers,
      groups: groupTable(placed.rows, design, request.level),
      flow,
      dose: doseTable(golfers),
      columns:
        design.kind === 'crossover'
          ? { before: `after ${controlWords(design.control!)}`, after: 'after the drill' }
          : { before: 'before', after: 'after' },
    },
    warnings: [...design.warnings, ...placed.warnings, ...main.notes],
    next: nextSteps(design, verdict, effect, smallest, perArm, more, metric.decimals, planned.planned),
  };
}

function questionOf(options: StudyOptions, design: Design, label: string): string {
  if (options.plan !== undefined) return options.plan.question;
  return design.kind === 'before-after'
    ? `Did ${label} change from before to after the drill?`
    : `Did the drill change ${label}?`;
}

function answerOf({ design, excluded, answers, placed }: FindingParts): string {
  const { metric } = excluded.data;
  const { main, request, smallest, golfers } = answers;
  const sentences = comparedArms(design).map((arm) => {
    const after = new Set(
      placed.rows.filter((row) => row.task === 'full' && row.phase === 'post').map((row) => row.golfer),
    );
    const parts: AnswerParts = {
      kind: design.kind,
      label: metric.label,
      column: metric.column,
      unit: metric.unit,
      decimals: metric.decimals,
      level: request.level,
      arm,
      drills: design.drills,
      control: design.control === null ? null : controlWords(design.control),
      controlGroup: design.control === null ? null : controlGroupWords(design.control),
      effect: main.effects.get(arm) ?? NO_EFFECT,
      smallest,
      golfers: after.size,
      noInterval: whyNoInterval(golfers, arm),
      why: whyNone(design, answers, arm),
    };
    return answerSentence(parts);
  });
  return sentences.join(' ');
}

function whyNoInterval(golfers: readonly GolferChange[], arm: string): string {
  const changes = golfers.filter((golfer) => golfer.arm === arm).flatMap((golfer) => golfer.change ?? []);
  return changes.length > 1 && changes.every((change) => change === changes[0])
    ? 'all golfers changed by exactly the same amount, which measured swings do not do: nothing says how sure this is'
    : 'there are too few golfers to say how sure this is';
}

function whyNone(design: Design, { main, flow }: Answers, arm: string): string {
  const empty = flow
    .filter((row) => row.post === 0 && (row.arm === arm || row.arm === design.control))
    .map((row) => `'${row.arm}'`);
  if (empty.length > 0) return `no golfer in ${list(empty)} has a full swing with a value after the drill.`;
  const sentence = main.form === 'none' ? main.notes[0]! : 'the golfers measured do not allow a comparison.';
  return sentence.charAt(0).toLowerCase() + sentence.slice(1);
}

/** Every row that did not enter the main comparison, by reason; with the swings used it accounts for all. */
function leftOut({ design, excluded, placed, answers }: FindingParts): LeftOut[] {
  const { main, golfers } = answers;
  const swings = [
    ...excluded.swings,
    ...placed.unplaced.map(({ swing, why }) => ({ id: swing, why })),
    ...placed.rows
      .filter((row) => !main.used.has(row.swing))
      .map((row) => ({ id: row.swing, why: outsideComparison(row, design) ?? main.unusedWhy })),
  ];
  const assigned = new Set(design.periods.keys());
  const other = new Set(design.otherArms);
  const outside = new Set(excluded.golfers.map((golfer) => golfer.id));
  const people = [
    ...excluded.golfers,
    ...excluded.data.golfers
      .filter((golfer) => !assigned.has(golfer) && !outside.has(golfer))
      .map((id) => ({
        id,
        why: other.has(id)
          ? 'in an arm that the plan does not compare'
          : 'not assigned to an arm of this trial',
      })),
    ...golfers
      .filter((golfer) => golfer.before === null || golfer.after === null)
      .map((golfer) => ({ id: golfer.golfer, why: missingWhy(golfer, design, main.form === 'swings') })),
  ];
  return [
    ...groupLeftOut('golfers', people),
    ...groupLeftOut('sessions', excluded.sessions),
    ...groupLeftOut('swings', swings),
  ];
}

function missingWhy(
  golfer: { readonly before: number | null; readonly after: number | null },
  design: Design,
  bySwings: boolean,
): string {
  if (golfer.before === null && golfer.after === null)
    return 'no full swing with a value in any compared phase';
  const phase =
    design.kind === 'crossover'
      ? golfer.before === null
        ? 'after the control'
        : 'after the drill'
      : golfer.before === null
        ? 'at baseline'
        : 'after the drill';
  return `no full swing with a value ${phase}: ${
    bySwings ? 'in the model with what there is, without a change of their own' : 'not in the comparison'
  }`;
}

function modelWords({ main, golfers }: Answers): string {
  const noise = golfers.every((golfer) => golfer.shrunken === null)
    ? ''
    : ` A golfer's own change is shrunken toward the arm's by how noisy it is; where a phase has one visit, what that day did is in the golfer's change and not in the noise.`;
  return `${main.words}${main.objects.length > 0 && main.form === 'swings' ? noise : ''}`;
}

function modelObjects({ main, more }: Answers): unknown[] {
  const asked = [more.retention, more.carryOver, more.dose].flatMap((part) =>
    typeof part === 'string' ? [] : [part.model],
  );
  return [...main.objects, ...asked];
}
