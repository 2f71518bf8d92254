import type { Sensitivity, SmallestChange } from '../../finding.ts';
import { count, list } from '../../shared/words.ts';
import { TIME_AXES } from '../input/axis.ts';
import type { Comparison } from '../input/comparison.ts';
import { type GolferCurve, golferCurves } from '../input/golfer-curves.ts';
import { type LaidOut, layOut } from '../input/lay-out.ts';
import type { SwingCurve } from '../input/swing-curves.ts';
import { differenceEstimate, type EstimateWords } from '../wording/estimates.ts';
import { stretchesWords } from '../wording/place.ts';
import { answerCurves, type CurveAnswer, type CurveRequest } from './answers.ts';
import { curveVerdict, decidingNode } from './curve-verdict.ts';
import { unanswerable } from './unanswerable.ts';

export interface SensitivityRequest {
  readonly comparison: Comparison;
  readonly swings: readonly SwingCurve[];
  readonly laid: LaidOut;
  readonly golfers: readonly GolferCurve[];
  readonly request: CurveRequest;
  readonly answer: CurveAnswer;
  readonly smallest: SmallestChange | null;
  readonly words: EstimateWords;
}

/** Arrangements drawn where the question is put once more, and where it is put once more for each golfer. */
const AGAIN = 4000;
const AGAIN_FOR_EACH = 1000;

/** The question again, each time with one choice changed. */
export function curveSensitivity(parts: SensitivityRequest): Sensitivity[] {
  return [byRandomFields(parts), ...onOtherAxes(parts), ...otherComparison(parts), ...withoutEach(parts)];
}

function entry(
  parts: SensitivityRequest,
  laid: LaidOut,
  answer: CurveAnswer,
  name: string,
  what: string,
): Sensitivity {
  const { windows } = answer.compared;
  return {
    name,
    what,
    estimate: differenceEstimate(answer, { ...parts.words, axis: laid.axis }),
    verdict: answer.verdict,
    words:
      answer.compared.band === null
        ? 'There are too few golfers for a band.'
        : windows.length === 0
          ? 'No stretch is found to differ.'
          : `They differ ${stretchesWords(laid.axis, windows)}.`,
  };
}

/** The same curves with the critical value of random field theory in place of permutation. */
function byRandomFields(parts: SensitivityRequest): Sensitivity {
  const { answer, smallest, laid } = parts;
  const { effect, standardError, randomField } = answer.compared;
  const { value } = randomField;
  const compared = {
    ...answer.compared,
    windows: randomField.windows,
    band: {
      low: effect.map((d, q) => d - value * standardError[q]!),
      high: effect.map((d, q) => d + value * standardError[q]!),
    },
  };
  const verdict = curveVerdict(compared, smallest);
  const node = decidingNode(compared, verdict, smallest?.goodDirection ?? 0);
  return entry(
    parts,
    laid,
    { compared, verdict, node },
    'random field theory in place of permutation',
    'The critical value worked out from the smoothness of normally distributed curves',
  );
}

function onOtherAxes(parts: SensitivityRequest): Sensitivity[] {
  return TIME_AXES.filter((kind) => kind !== parts.laid.axis.kind).flatMap((kind) => {
    const laid = layOut(parts.swings, kind);
    const again = laid === null ? null : answerOn(parts, laid, parts.comparison);
    if (laid === null || again === null) return [];
    return [entry(parts, laid, again, AXIS_NAMES[kind], AXIS_WORDS[kind])];
  });
}

const AXIS_NAMES = {
  registered: 'curves registered at instants',
  percent: 'time in per cent of the downswing',
  milliseconds: 'time in milliseconds before impact',
} as const;

const AXIS_WORDS = {
  registered: 'Like instants laid over one another, so that differences in when they happen are taken out',
  percent: 'Only top and impact laid over one another',
  milliseconds: 'Only impact laid over, time not stretched, as far back as the shortest downswing goes',
} as const;

/** Where change is compared between arms: the curves after alone. */
function otherComparison(parts: SensitivityRequest): Sensitivity[] {
  const { comparison, laid } = parts;
  if (comparison.kind !== 'arms-change') return [];
  const again = answerOn(parts, laid, { ...comparison, kind: 'arms-after' });
  return again === null
    ? []
    : [
        entry(
          parts,
          laid,
          again,
          'curves after only',
          'Where golfers started is left out of account, so that what differed between them from the first stays in',
        ),
      ];
}

function answerOn(parts: SensitivityRequest, laid: LaidOut, comparison: Comparison): CurveAnswer | null {
  const { golfers } = golferCurves(laid, comparison);
  if (unanswerable(comparison, golfers) !== null) return null;
  return answerCurves(
    golfers,
    { ...parts.request, kind: comparison.kind, most: Math.min(parts.request.most, AGAIN) },
    parts.smallest,
  );
}

/** Without each golfer in turn: the verdicts that come out, and the answer that strays furthest. */
function withoutEach(parts: SensitivityRequest): Sensitivity[] {
  const { golfers, comparison, request, answer, smallest, laid } = parts;
  const runs = golfers.flatMap((left) => {
    const others = golfers.filter((golfer) => golfer !== left);
    if (unanswerable(comparison, others) !== null) return [];
    return [
      {
        left,
        answer: answerCurves(others, { ...request, most: Math.min(request.most, AGAIN_FOR_EACH) }, smallest),
      },
    ];
  });
  if (runs.length === 0) return [];
  const other = runs.filter((run) => run.answer.verdict !== answer.verdict);
  const distance = (run: (typeof runs)[number]) =>
    Math.abs(run.answer.compared.effect[answer.node]! - answer.compared.effect[answer.node]!);
  const pool = other.length > 0 ? other : runs;
  const furthest = pool.reduce((most, run) => (distance(run) > distance(most) ? run : most));
  const there = { ...furthest.answer, node: answer.node };
  return [
    {
      ...entry(
        parts,
        laid,
        there,
        'without one golfer',
        `Each of the ${count(golfers.length, 'golfer')} left out in turn; shown is the one that moves the answer most (${furthest.left.golfer}), at the same time of the downswing`,
      ),
      verdict: furthest.answer.verdict,
      words:
        other.length === 0
          ? 'The verdict stays whoever is left out.'
          : `The verdict becomes another without ${list(other.map(({ left }) => left.golfer))}.`,
    },
  ];
}
