import type { Planned, PlannedPart } from '../finding.ts';
import { dataParts, lockWords, timingOf } from './planned-lock.ts';
import { ownParts, type PlannedRequest } from './planned-own-parts.ts';
import { list } from './words.ts';

/**
 * Whether the question was written down beforehand, and of each part of the answer: as planned, changed (how), or
 * exploratory. With a locked plan, also what data there were when it was locked, and whether they are still the same.
 *
 * @example
 * const metric = metricByColumn('shaft_lean_impact_deg');
 * plannedOf({ study: 'noise', dataset, options: {}, metric, parts: [] }).timing // 'no-plan'
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
