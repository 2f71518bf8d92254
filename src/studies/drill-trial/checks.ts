import {
  moments,
  prePostVarianceFactor,
  robustDistances,
  skewness,
  unequalSpreadDifference,
} from '../../stats/index.ts';
import type { GolferChange } from '../drill-trial-tables.ts';
import type { Check } from '../finding.ts';
import type { Design } from './design.ts';
import { golferMeans } from './golfer-means.ts';
import { type MainAnalysis, mainRows } from './main-analysis.ts';
import type { Resolution } from './smallest-change.ts';
import type { TrialMetric, TrialRow } from './trial-data.ts';
import { amount, controlWords, figure, list, percent } from './words.ts';

export interface CheckRequest {
  readonly rows: readonly TrialRow[];
  readonly golfers: readonly GolferChange[];
  readonly design: Design;
  readonly main: MainAnalysis;
  readonly metric: TrialMetric;
  readonly resolution: Resolution;
  readonly level: number;
}

/** Whether what the model takes for granted is visible in the data, each in a sentence. */
export function checkAssumptions(request: CheckRequest): Check[] {
  return [
    spreadBySwings(request),
    farGolfers(request),
    shapeOfChanges(request),
    balanceAtBaseline(request),
    carriedBetweenPeriods(request),
    whatTheBaselineBought(request),
    boundaries(request),
    ...(request.main.anyDifference === null
      ? []
      : [
          {
            name: 'any difference among the arms',
            outcome: 'good' as const,
            words: `A test of all arms at once: ${request.main.anyDifference}. It does not decide; the intervals do.`,
          },
        ]),
  ].filter((check) => check !== null);
}

function spreadBySwings({ rows, design, metric }: CheckRequest): Check {
  const name = 'spread of swings by arm';
  const arms = [...design.drills, ...(design.control === null ? [] : [design.control])];
  const spreads = arms.flatMap((arm) => {
    const own = mainRows(rows, design).filter((row) => row.arm === arm);
    let squares = 0;
    let df = 0;
    for (const cells of golferMeans(own.map((row) => ({ ...row, cell: row.phase }))).values())
      for (const cell of cells.values()) {
        for (const value of cell.values) squares += (value - cell.mean) ** 2;
        df += cell.values.length - 1;
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

function farGolfers({ golfers, design }: CheckRequest): Check {
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
        words: `The ${subject}${far.length === 1 ? '' : 's'} of ${list(far.sort())} ${far.length === 1 ? 'lies' : 'lie'} more than 3.5 robust SDs from the middle of the arm. Check the captures; sensitivity says what the answer is without each golfer.`,
      };
}

function shapeOfChanges({ golfers }: CheckRequest): Check {
  const name = "shape of golfers' changes";
  const centred: number[] = [];
  for (const arm of new Set(golfers.map((golfer) => golfer.arm))) {
    const changes = golfers.filter((g) => g.arm === arm && g.change !== null).map((g) => g.change!);
    const middle = moments(changes);
    if (middle !== null && middle.n >= 2) centred.push(...changes.map((change) => change - middle.mean));
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

function balanceAtBaseline({ golfers, design, metric, level, resolution }: CheckRequest): Check | null {
  if (design.kind !== 'parallel' || design.control === null) return null;
  const name = 'balance at baseline';
  const of = (arm: string) =>
    golfers.filter((golfer) => golfer.arm === arm && golfer.before !== null).map((golfer) => golfer.before!);
  const parts = design.drills.flatMap((arm) => {
    const gap = unequalSpreadDifference(of(arm), of(design.control!), level);
    return gap === null ? [] : [{ arm, gap: gap.difference }];
  });
  if (parts.length === 0)
    return { name, outcome: 'not-possible', words: 'An arm has fewer than two golfers with a baseline.' };
  const { betweenSd } = resolution;
  const far = betweenSd !== null && betweenSd > 0 && parts.some(({ gap }) => Math.abs(gap) > 0.5 * betweenSd);
  const gaps = parts.map(
    ({ arm, gap }) =>
      `'${arm}' started ${amount(Math.abs(gap), metric.unit, metric.decimals)} ${gap >= 0 ? 'above' : 'below'} ${controlWords(design.control!)}`,
  );
  return {
    name,
    outcome: far ? 'look' : 'good',
    words: `${list(gaps)}${betweenSd !== null && betweenSd > 0 ? ` (golfers differ by an SD of ${amount(betweenSd, metric.unit, metric.decimals)})` : ''}. The model takes a difference at the start out of the comparison, on the ground that it is chance; it is chance only if golfers were put into arms by chance.`,
  };
}

function carriedBetweenPeriods({ rows, design, metric, level }: CheckRequest): Check | null {
  if (design.kind !== 'crossover') return null;
  const name = 'carry-over between periods';
  const means = golferMeans(mainRows(rows, design).map((row) => ({ ...row, cell: row.arm })));
  const totals = (first: string) =>
    [...means].flatMap(([golfer, own]) =>
      own.size === 2 && design.periods.get(golfer)?.[0]?.arm === first
        ? [[...own.values()].reduce((sum, cell) => sum + cell.mean, 0) / 2]
        : [],
    );
  const gap = unequalSpreadDifference(totals(design.drills[0]!), totals(design.control!), level);
  if (gap === null)
    return {
      name,
      outcome: 'not-possible',
      words: 'An order has fewer than two golfers measured in both periods.',
    };
  const [low, high] = gap.interval;
  const seen = low > 0 || high < 0;
  return {
    name,
    outcome: seen ? 'look' : 'good',
    words: `Golfers who did the drill first average ${figure(gap.difference, metric.decimals + 1)} ${metric.unit} more over both periods than those who did it second (${percent(level, 1)} interval ${figure(low, metric.decimals + 1)} to ${figure(high, metric.decimals + 1)}). ${
      seen
        ? 'That is what a drill that goes on working in the second period would look like; the first period alone is then the fairer comparison.'
        : 'A drill that goes on working would show here, but this comparison sees only large carry-over: the design, not this check, has to rule it out.'
    }`,
  };
}

function whatTheBaselineBought({ golfers, design }: CheckRequest): Check | null {
  if (design.kind !== 'parallel') return null;
  const pairs = golfers.filter((golfer) => golfer.before !== null && golfer.after !== null);
  const centred = (pick: (golfer: GolferChange) => number) =>
    pairs.map((golfer) => {
      const own = pairs.filter((other) => other.arm === golfer.arm);
      return pick(golfer) - own.reduce((sum, other) => sum + pick(other), 0) / own.length;
    });
  if (pairs.length < 6) return null;
  const x = centred((golfer) => golfer.before!);
  const y = centred((golfer) => golfer.after!);
  const dot = (a: readonly number[], b: readonly number[]) =>
    a.reduce((sum, value, i) => sum + value * b[i]!, 0);
  const spread = Math.sqrt(dot(x, x) * dot(y, y));
  if (!(spread > 0)) return null;
  const correlation = dot(x, y) / spread;
  if (correlation < 0) return null;
  const share = prePostVarianceFactor(1, 1, Math.min(1, correlation));
  return {
    name: 'what the baseline bought',
    outcome: 'good',
    words: `Golfers' means before and after correlate at ${figure(correlation, 2)} within the arms, so adjusting for the start needs about ${percent(share)} of the golfers that a comparison of values after alone would need.`,
  };
}

function boundaries({ main }: CheckRequest): Check {
  const name = 'fit at a boundary';
  if (main.objects.length === 0) return { name, outcome: 'not-possible', words: main.words };
  return main.boundary.length === 0
    ? {
        name,
        outcome: 'good',
        words: 'Every variance of the model is above zero and no correlation is at its limit.',
      }
    : {
        name,
        outcome: 'look',
        words: `${main.boundary.join(' ')} The data hold too little to size it; the estimate of the drill stands, and intervals of single golfers are rougher.`,
      };
}
