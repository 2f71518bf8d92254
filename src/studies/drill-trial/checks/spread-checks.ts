import { moments, robustDistances, skewness } from '../../../stats/index.ts';
import type { Check } from '../../finding.ts';
import { amount, figure, list, listSome } from '../../shared/words.ts';
import { golferMeans } from '../analysis/golfer-means.ts';
import { comparedRows } from '../analysis/main-analysis.ts';
import type { CheckRequest } from './checks.ts';

/** Whether swings scatter alike in the arms, within a golfer and phase. */
export function spreadBySwings({ rows, design, metric }: CheckRequest): Check {
  const name = 'spread of swings by arm';
  const arms = [...design.drills, ...(design.control === null ? [] : [design.control])];
  const spreads = arms.flatMap((arm) => {
    const own = comparedRows(rows, design).filter((row) => row.arm === arm);
    let squares = 0;
    let df = 0;
    for (const cells of golferMeans(own, (row) => row.phase).values())
      for (const cell of cells.values()) {
        squares += cell.squares;
        df += cell.count - 1;
      }
    return df < 1 ? [] : [{ arm, sd: Math.sqrt(squares / df) }];
  });
  if (spreads.length === 0)
    return {
      name,
      outcome: 'not-possible',
      words: 'Each golfer has one swing in a phase, so the spread of swings cannot be seen.',
    };
  const sizes = spreads.map(({ arm, sd }) => `${amount(sd, metric.unit, metric.decimals + 1)} in '${arm}'`);
  const most = Math.max(...spreads.map((spread) => spread.sd));
  const least = Math.min(...spreads.map((spread) => spread.sd));
  const uneven = spreads.length > 1 && most > 1.5 * least;
  return {
    name,
    outcome: uneven ? 'look' : 'good',
    words: `Within a golfer and phase, swings have an SD of ${list(sizes)}.${
      spreads.length < 2
        ? ''
        : uneven
          ? ' The arms differ by more than half; the model takes them as equal, so compare the answer without that assumption under sensitivity.'
          : ' The arms are alike enough for one residual spread.'
    }`,
  };
}

/** Golfers whose change lies far from their arm's. */
export function farGolfers({ golfers, design }: CheckRequest): Check {
  const name = 'golfers far from the rest';
  const far: string[] = [];
  let judged = 0;
  for (const arm of new Set(golfers.map((golfer) => golfer.arm))) {
    const own = golfers.filter((golfer) => golfer.arm === arm && golfer.change !== null);
    if (own.length < 5) continue;
    const distances = robustDistances(own.map((golfer) => golfer.change!));
    judged += own.length;
    distances?.forEach((distance, i) => {
      if (Math.abs(distance) > 3.5) far.push(own[i]!.golfer);
    });
  }
  if (judged === 0)
    return {
      name,
      outcome: 'not-possible',
      words: 'There are fewer than 5 golfers with a change in every arm.',
    };
  const subject = design.kind === 'crossover' ? 'drill-control difference' : 'change';
  return far.length === 0
    ? {
        name,
        outcome: 'good',
        words: `No golfer's ${subject} lies more than 3.5 robust SDs from the middle of the arm.`,
      }
    : {
        name,
        outcome: 'look',
        words: `The ${subject}${far.length === 1 ? '' : 's'} of ${listSome(far.sort())} ${far.length === 1 ? 'lies' : 'lie'} more than 3.5 robust SDs from the middle of the arm. Check the captures; sensitivity says what the answer is without each golfer.`,
      };
}

/** Whether the changes lean to one side. */
export function shapeOfChanges({ golfers }: CheckRequest): Check {
  const name = "shape of golfers' changes";
  const centred: number[] = [];
  for (const arm of new Set(golfers.map((golfer) => golfer.arm))) {
    const changes = golfers.filter((g) => g.arm === arm && g.change !== null).map((g) => g.change!);
    const middle = moments(changes);
    if (middle !== null && middle.n >= 2) for (const change of changes) centred.push(change - middle.mean);
  }
  const skew = centred.length < 8 ? null : skewness(centred);
  if (skew === null)
    return {
      name,
      outcome: 'not-possible',
      words: 'Too few golfers have a change for its shape to be judged (8 are needed).',
    };
  const lopsided = Math.abs(skew.value) > 2 * skew.standardError;
  return {
    name,
    outcome: lopsided ? 'look' : 'good',
    words: `Skewness of the changes around their arm's mean is ${figure(skew.value, 2)} (standard error ${figure(skew.standardError, 2)}): ${
      lopsided
        ? 'lopsided, so the interval is less exact than it looks; see the answer without single golfers.'
        : 'no sign that the normal model misleads.'
    }`,
  };
}
