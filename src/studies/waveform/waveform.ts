import type { Dataset } from '../../dataset/index.ts';
import { applyExclusions } from '../shared/exclusions.ts';
import type { Phase } from '../shared/roster.ts';
import { rosterSwings } from '../shared/roster.ts';
import type { Study, StudyOptions, StudyOutcome, StudyProblem } from '../study.ts';
import type { WaveformTables } from '../waveform-tables.ts';
import { ARRANGEMENTS, answerCurves, type CurveRequest, smallestDifference } from './analysis/answers.ts';
import { unanswerable } from './analysis/unanswerable.ts';
import { chooseComparison } from './input/comparison.ts';
import { golferCurves } from './input/golfer-curves.ts';
import { layOut } from './input/lay-out.ts';
import { chooseQuantity } from './input/quantity.ts';
import { swingCurves } from './input/swing-curves.ts';
import { writeFinding } from './wording/write-finding.ts';

/** The seed where neither options nor plan state one: the same data give the same numbers. */
const DEFAULT_SEED = 1;

/**
 * When in the downswing do they differ? Curves of a quantity from top to impact, one for each golfer: between two arms (by how
 * much each golfer changed, or afterwards), in the same golfers before and after, or against a number of the golfer. Every
 * node is tested at once by permutation of the largest |t|; the band that goes with it says where they differ, by how much,
 * and whether that matters. Random field theory, other layouts of time and leaving golfers out are tried beside it.
 *
 * Needs `options.curves` (see `loadCurves`). Data that cannot be put to the question give problems in words.
 *
 * @example
 * const loaded = await loadCurves('my-roster');
 * // The demo has no curves.csv
 * waveform(dataset, { metric: 'lag_angle', curves: loaded.value }).ok // false
 */
export function waveform(dataset: Dataset, options: StudyOptions = {}): StudyOutcome<WaveformTables> {
  const plan = options.plan ?? null;
  const curves = options.curves ?? null;
  const chosen = chooseQuantity(curves, options.metric, plan);
  if (!chosen.ok) return chosen;
  const { metric } = chosen;
  const phaseOf = (phase: Phase): Phase => {
    if (plan?.phases === undefined) return phase;
    const { before, after, retention } = plan.phases;
    return phase === before
      ? 'baseline'
      : phase === after
        ? 'post'
        : phase === retention
          ? 'retention'
          : 'training';
  };
  const read = swingCurves(dataset, curves!, metric.column, phaseOf);
  if (!read.ok) return read;
  const excluded = applyExclusions(
    {
      golfers: read.value.golfers,
      sessions: read.value.sessions,
      swings: rosterSwings(dataset, 'downswing_ms'),
    },
    plan,
    dataset,
  );
  if (excluded.problems.length > 0) return refusal(excluded.problems);
  const kept = new Set(excluded.data.swings.map(({ swing }) => swing));
  const swings = read.value.swings.filter(({ swing }) => kept.has(swing));
  const unread = read.value.leftOut.filter(({ id }) => kept.has(id));
  const compared = chooseComparison(dataset, { ...read.value, swings }, plan, options.compare, options.by);
  if (!compared.ok) return compared;
  const { comparison } = compared;
  const laid =
    options.timeAxis === undefined
      ? (layOut(swings, 'registered') ?? layOut(swings, 'percent'))
      : layOut(swings, options.timeAxis);
  if (laid === null) return refusal([noSwings(swings.length, options)]);
  const { golfers, leftOut } = golferCurves(laid, comparison);
  const problem = unanswerable(comparison, golfers);
  if (problem !== null) return refusal([problem]);
  const smallest = smallestDifference(laid, golfers, metric, plan);
  const request: CurveRequest = {
    kind: comparison.kind,
    level: plan?.level ?? 0.95,
    seed: options.seed ?? plan?.seed ?? DEFAULT_SEED,
    most: ARRANGEMENTS,
  };
  const finding = writeFinding({
    dataset,
    curves: curves!,
    options,
    metric,
    comparison,
    notes: compared.notes,
    excluded,
    swings,
    laid,
    golfers,
    leftOut: [...excluded.swings, ...unread, ...laid.leftOut, ...leftOut],
    request,
    smallest,
    answer: answerCurves(golfers, request, smallest.smallest),
  });
  return { ok: true, finding };
}

function noSwings(swings: number, { timeAxis }: StudyOptions): StudyProblem {
  if (swings === 0)
    return {
      where: 'curves.csv',
      found: 'no full swing with a curve from top to impact',
      expected: 'curves of full swings, sampled from the top (0%) to impact (100%) without long gaps',
      remedy: 'Check the task of the swings and the times of the samples.',
    };
  return timeAxis === 'registered'
    ? {
        where: 'curve-instants.csv',
        found: 'no instant that nine in ten swings have',
        expected: 'when each swing passed an instant such as lead arm parallel, in per cent of the downswing',
        remedy: 'Add the instants, or lay curves out with --axis percent.',
      }
    : {
        where: 'swings.csv, downswing_ms',
        found: 'no swing with a curve and a downswing_ms',
        expected: 'how long the downswing took, to lay curves out in milliseconds',
        remedy: 'Fill in downswing_ms, or lay curves out with --axis percent.',
      };
}

function refusal(problems: readonly StudyProblem[]): StudyOutcome<never> {
  return { ok: false, problems };
}

/** The study as the registry lists it. */
export const waveformStudy: Study<WaveformTables> = {
  name: 'waveform',
  question: 'When in the downswing do they differ?',
  summary:
    'Compares whole curves from top to impact between two arms, before and after, or by a number of the golfer, and says in which stretch they differ and by how much. Needs curves.csv.',
  answersIn: 'curves',
  run: waveform,
};
