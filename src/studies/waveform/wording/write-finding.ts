import type { CurveSet, Dataset } from '../../../dataset/index.ts';
import type { Finding } from '../../finding.ts';
import type { Excludable, Excluded } from '../../shared/exclusions.ts';
import { groupLeftOut } from '../../shared/left-out.ts';
import { plannedOf } from '../../shared/planned.ts';
import { comparedPart, leftOpen } from '../../shared/planned-parts.ts';
import { provenanceOf } from '../../shared/provenance.ts';
import { metricOfFinding, type StudyMetric } from '../../shared/study-metric.ts';
import { count, figure } from '../../shared/words.ts';
import type { StudyOptions } from '../../study.ts';
import type { WaveformTables } from '../../waveform-tables.ts';
import {
  type CurveAnswer,
  type CurveRequest,
  type smallestDifference,
  spreadOf,
} from '../analysis/answers.ts';
import { curveSensitivity } from '../analysis/sensitivity.ts';
import { timingRows } from '../analysis/timing.ts';
import { windowRows } from '../analysis/window-rows.ts';
import type { Comparison } from '../input/comparison.ts';
import type { GolferCurve } from '../input/golfer-curves.ts';
import { type LaidOut, sharedInstants } from '../input/lay-out.ts';
import type { SwingCurve } from '../input/swing-curves.ts';
import { answerSentence } from './answer.ts';
import { curveCautions } from './cautions.ts';
import { curveChecks } from './checks.ts';
import { comparisonWords } from './comparison-words.ts';
import { designOf } from './design.ts';
import { listEstimates } from './estimates.ts';
import { nextSteps } from './next-steps.ts';
import { curveTables } from './tables.ts';

export interface FindingParts {
  readonly dataset: Dataset;
  readonly curves: CurveSet;
  readonly options: StudyOptions;
  readonly metric: StudyMetric;
  readonly comparison: Comparison;
  readonly notes: readonly string[];
  readonly excluded: Excluded<Excludable>;
  readonly swings: readonly SwingCurve[];
  readonly laid: LaidOut;
  readonly golfers: readonly GolferCurve[];
  readonly leftOut: readonly { readonly id: string; readonly why: string }[];
  readonly request: CurveRequest;
  readonly smallest: ReturnType<typeof smallestDifference>;
  readonly answer: CurveAnswer;
}

/** Puts the comparison into words and into the shape that page, notebook and command line share. */
export function writeFinding(parts: FindingParts): Finding<WaveformTables> {
  const { dataset, curves, options, metric, comparison, laid, golfers, request, answer } = parts;
  const { smallest, cautions } = parts.smallest;
  const { axis } = laid;
  const { level, seed } = request;
  const words = comparisonWords(comparison, spreadOf(comparison.kind, golfers));
  const windows = windowRows(answer.compared, axis.times, smallest);
  const timing = timingRows(
    comparison.kind,
    golfers,
    sharedInstants(golfers.flatMap((golfer) => golfer.swings)).map(({ name }) => name),
    level,
  );
  const estimateWords = { axis, words, unit: metric.unit, level };
  const planned = plannedOf({
    study: 'waveform',
    dataset,
    options: { ...options, seed },
    metric,
    smallest,
    level,
    parts: [
      comparison.kind === 'by-number' || comparison.kind === 'before-after'
        ? comparedPart(
            'the comparison',
            options.plan?.design === 'infer' ? undefined : options.plan?.design,
            comparison.kind,
            `${comparison.kind} was taken`,
          )
        : leftOpen('the comparison', `${words.difference} was taken`),
      leftOpen('how time is laid out', `${axis.label} was taken`),
    ],
  });
  const uncontrolled = comparison.kind === 'before-after';
  return {
    study: 'waveform',
    question:
      options.plan !== undefined && planned.planned ? options.plan.question : words.question(metric.label),
    answer: answerSentence({
      label: metric.label,
      column: metric.column,
      unit: metric.unit,
      decimals: metric.decimals,
      level,
      axis,
      words,
      answer,
      smallest,
      golfers: golfers.length,
      uncontrolled,
    }),
    verdict: answer.verdict,
    estimates: listEstimates(answer, estimateWords, windows, timing),
    smallestChange: smallest,
    metric: metricOfFinding(metric),
    design: designOf(comparison, golfers, words),
    leftOut: [
      ...groupLeftOut('golfers', parts.excluded.golfers),
      ...groupLeftOut('sessions', parts.excluded.sessions),
      ...groupLeftOut('swings', parts.leftOut),
    ],
    model: { words: modelWords(parts), objects: [modelObject(parts)] },
    checks: curveChecks(answer, axis, comparison.kind, golfers, level),
    sensitivity: curveSensitivity({
      comparison,
      swings: parts.swings,
      laid,
      golfers,
      request,
      answer,
      smallest,
      words: estimateWords,
    }),
    cautions: curveCautions(comparison, laid, golfers, smallest, cautions),
    planned,
    provenance: provenanceOf(
      'waveform',
      { ...dataset, files: [...dataset.files, ...curves.files] },
      options,
      [metric],
      seed,
    ),
    tables: curveTables(parts, words, windows, timing),
    warnings: [
      ...(uncontrolled
        ? [
            'Without a control group a change cannot be put down to the drill: practice, the season and the first visit being unusual change curves too.',
          ]
        : []),
      ...parts.notes,
    ],
    next: nextSteps(answer, smallest, golfers.length, planned.planned, uncontrolled),
  };
}

function modelWords({ comparison, laid, golfers, request, answer, metric }: FindingParts): string {
  const { compared } = answer;
  const rows =
    comparison.kind === 'arms-change' || comparison.kind === 'before-after'
      ? 'Each golfer gives one curve, the mean of the golfer’s full swings after less the mean before'
      : 'Each golfer gives one curve, the mean of the golfer’s full swings';
  const registered =
    laid.axis.kind === 'registered'
      ? ' Curves are registered first: each swing is stretched piecewise linearly so that its instants fall on their mean times over golfers. What is compared is thus the curve between like instants; that instants may come earlier or later is taken out of it and stands among the estimates. The stretching is taken as known, so that errors in finding instants add to the scatter but are not counted apart.'
      : '';
  const how = {
    'arms-change': 'the two groups are compared by a t at every node with one variance for both',
    'arms-after': 'the two groups are compared by a t at every node with one variance for both',
    'before-after': 'the mean change is set against none by a t at every node',
    'by-number': 'the slope on the number is set against none by a t at every node',
  }[comparison.kind];
  const distribution =
    compared.critical === null
      ? 'There are too few golfers for a critical value of the largest |t|.'
      : `The largest |t| over the whole curve exceeds ${figure(compared.critical, 2)} by chance in at most ${figure(100 * (1 - request.level), 1)}% of ways to ${comparison.kind === 'before-after' ? 'turn the signs of golfers’ changes' : 'rearrange the golfers'} (${compared.distribution.exact ? 'all' : 'a sample of'} ${compared.distribution.count}; Nichols and Holmes 2002, Hum Brain Mapp 15:1-25; for movement curves Pataky, Vanrenterghem and Robinson 2015, J Biomech 48:1277-1285). The band adds and takes away that many standard errors, and a window is where the band leaves out zero: what is said of every node holds together.`;
  return `${rows}, of ${metric.label}, on ${laid.axis.times.length} nodes (${laid.axis.label}); ${how}, with ${count(golfers.length, 'golfer')} and ${count(compared.degreesOfFreedom, 'degree')} of freedom. ${distribution}${registered} Stretches are not tested by their length: a test of length says that there is a difference in a stretch, not where in it.`;
}

function modelObject({ comparison, laid, request, answer, metric }: FindingParts): unknown {
  const { compared } = answer;
  return {
    curves: metric.column,
    compared:
      comparison.kind === 'by-number'
        ? { kind: comparison.kind, by: comparison.by }
        : comparison.kind === 'before-after'
          ? { kind: comparison.kind, arm: comparison.only }
          : { kind: comparison.kind, first: comparison.arms.first, second: comparison.arms.second },
    time: { axis: laid.axis.kind, nodes: laid.axis.times.length, instants: laid.axis.marks },
    unit: 'golfer',
    level: request.level,
    permutation: {
      of: 'largest |t|',
      arrangements: compared.distribution.count,
      exact: compared.distribution.exact,
      seed: compared.distribution.exact ? null : request.seed,
      critical: compared.critical,
    },
    randomField: {
      degreesOfFreedom: compared.degreesOfFreedom,
      resels: compared.smoothness.resels,
      threshold: compared.randomField.value,
      by: compared.randomField.by,
    },
  };
}
