import { curveScores, curvesFrom, tField } from '../../../stats/index.ts';
import type { StudyProblem } from '../../study.ts';
import type { Comparison } from '../input/comparison.ts';
import { type GolferCurve, questionOf } from '../input/golfer-curves.ts';

/** Why these golfers cannot even be put to the question, or null when they can. */
export function unanswerable(comparison: Comparison, golfers: readonly GolferCurve[]): StudyProblem | null {
  const { kind } = comparison;
  const problem = (found: string, expected: string, remedy: string): StudyProblem => ({
    where: 'the golfers compared',
    found,
    expected,
    remedy,
  });
  const phases =
    kind === 'arms-after'
      ? 'after (phase post)'
      : kind === 'by-number'
        ? ''
        : 'before (baseline) and after (post)';
  if (kind === 'arms-change' || kind === 'arms-after')
    for (const [x, arm] of [
      [1, comparison.arms.first],
      [0, comparison.arms.second],
    ] as const) {
      const n = golfers.filter((golfer) => golfer.x === x).length;
      if (n < 2)
        return problem(
          `${n === 0 ? 'no golfer' : 'one golfer'} with curves ${phases} in '${arm}'`,
          'two golfers at least in each arm, and eight or more for an answer that means much',
          'Measure more golfers, or check phases, arms and ids.',
        );
    }
  if (golfers.length < (kind === 'before-after' ? 2 : 3))
    return problem(
      `${golfers.length === 0 ? 'no golfer' : golfers.length === 1 ? 'one golfer' : 'two golfers'} with curves ${phases}`.trimEnd(),
      'several golfers: swings of one golfer are no substitute for them',
      'Measure more golfers, or check phases and ids. One golfer alone is answered by ask one-golfer.',
    );
  if (kind === 'by-number' && golfers.every(({ x }) => x === golfers[0]!.x))
    return problem(
      `the same ${comparison.label} for every golfer`,
      'a number that differs between golfers',
      'Compare by another number.',
    );
  const { standardError } = tField(
    curveScores(curvesFrom(golfers.map(({ row }) => row)), questionOf(kind, golfers)),
  );
  if (standardError.some((error) => !(error > 0)))
    return problem(
      'curves that are exactly alike from golfer to golfer at some time of the downswing',
      'curves that vary between golfers, as measured ones do',
      'Look for copied or made-up curves.',
    );
  return null;
}
