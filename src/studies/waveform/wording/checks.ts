import type { Check } from '../../finding.ts';
import { count, figure, percent } from '../../shared/words.ts';
import type { CurveAnswer } from '../analysis/answers.ts';
import type { CurveAxis } from '../input/axis.ts';
import type { Comparison } from '../input/comparison.ts';
import type { GolferCurve } from '../input/golfer-curves.ts';

/** Fewer golfers than this (in the smaller group) leave a test that sees only very large differences. */
const FEW = 8;
/** A field rougher than this many nodes looks smoother than it is; common practice, no source. */
const ROUGH_NODES = 3;

/** What the comparison takes for granted, and whether it holds here. */
export function curveChecks(
  answer: CurveAnswer,
  axis: CurveAxis,
  kind: Comparison['kind'],
  golfers: readonly GolferCurve[],
  level: number,
): Check[] {
  return [
    arrangementsCheck(answer, level),
    golfersCheck(kind, golfers),
    methodsCheck(answer),
    smoothnessCheck(answer, axis),
    ...(kind === 'arms-change' || kind === 'arms-after' ? [spreadCheck(golfers)] : []),
    ...(kind === 'before-after' ? [symmetryCheck(golfers)] : []),
  ];
}

function arrangementsCheck({ compared }: CurveAnswer, level: number): Check {
  const { count: used, exact, possible, smallestP } = compared.distribution;
  const name = 'how chance was worked out';
  if (compared.band === null)
    return {
      name,
      outcome: 'not-possible',
      words: `The golfers can be rearranged in ${possible} ways only, and the smallest p value there can be is ${Number(smallestP.toPrecision(2))}: a band of ${percent(level, 1)} cannot be had.`,
    };
  const p = `p = ${Number(compared.p.value.toPrecision(2))} for the largest difference`;
  return exact
    ? { name, outcome: 'good', words: `Exactly, from all ${used} ways to rearrange the golfers: ${p}.` }
    : {
        name,
        outcome: 'good',
        words: `From ${used} of the ways to rearrange the golfers, drawn with a stated seed: ${p}, with a Monte Carlo error of ${Number(compared.p.monteCarloError.toPrecision(1))}.`,
      };
}

function golfersCheck(kind: Comparison['kind'], golfers: readonly GolferCurve[]): Check {
  const smaller =
    kind === 'arms-change' || kind === 'arms-after'
      ? Math.min(...[0, 1].map((x) => golfers.filter((golfer) => golfer.x === x).length))
      : golfers.length;
  const swings = golfers.reduce((sum, golfer) => sum + golfer.swings.length, 0);
  const words = `Inference rests on ${count(golfers.length, 'golfer')}, each by the mean of ${count(swings, 'swing')} in all; swings of one golfer are like one another and do not count as independent.`;
  return smaller < FEW
    ? {
        name: 'number of golfers',
        outcome: 'look',
        words: `${words} With ${smaller}${golfers.length > smaller ? ' in the smaller group' : ''}, only large differences can be seen, and a window not found may well be there.`,
      }
    : { name: 'number of golfers', outcome: 'good', words };
}

function methodsCheck({ compared }: CurveAnswer): Check {
  const name = 'two ways to the critical value';
  const { critical, randomField } = compared;
  if (critical === null)
    return { name, outcome: 'not-possible', words: 'There are too few golfers for permutation.' };
  const by =
    randomField.by === 'smoothness'
      ? 'random field theory'
      : 'Bonferroni over the nodes, these curves being rough';
  const words = `The largest |t| must exceed ${figure(critical, 2)} by permutation, which is used here, and ${figure(randomField.value, 2)} by ${by}.`;
  return Math.abs(Math.log(critical / randomField.value)) > Math.log(1.15)
    ? {
        name,
        outcome: 'look',
        words: `${words} They are more than 15% apart: curves of golfers are not as random fields suppose (normal, and smooth between the nodes), or golfers are few.`,
      }
    : { name, outcome: 'good', words };
}

function smoothnessCheck({ compared }: CurveAnswer, axis: CurveAxis): Check {
  const name = 'smoothness of what is left over';
  const { fwhmNodes, resels } = compared.smoothness;
  const wide = fwhmNodes * Math.abs(axis.times[1]! - axis.times[0]!);
  const words = `What differs between golfers varies over a width (full width at half maximum) of ${figure(wide, 0)}${axis.unit === '%' ? '% of the downswing' : ' ms'}, so that the curve holds about ${figure(resels, 1)} separate pieces.`;
  return fwhmNodes < ROUGH_NODES
    ? {
        name,
        outcome: 'look',
        words: `${words} That is hardly wider than the nodes are apart: the curves are noisy, and random field theory does not fit them; permutation still does.`,
      }
    : { name, outcome: 'good', words };
}

function spreadCheck(golfers: readonly GolferCurve[]): Check {
  const name = 'spread in the two groups';
  const group = (x: number) => golfers.filter((golfer) => golfer.x === x).map(({ row }) => row);
  const [second, first] = [group(0), group(1)];
  const ratio = Math.sqrt(variance(first) / variance(second));
  const sizes = Math.max(first.length / second.length, second.length / first.length);
  const words = `Golfers in the first group spread ${figure(ratio, 2)} times as much as those in the second, averaged over the downswing.`;
  const apart = Math.max(ratio, 1 / ratio);
  return apart > 1.5 && sizes > 1.25
    ? {
        name,
        outcome: 'look',
        words: `${words} With groups of unlike size (${first.length} and ${second.length}) that makes the test too bold or too shy: rearranging takes for granted that both spread alike.`,
      }
    : { name, outcome: apart > 2 ? 'look' : 'good', words };
}

function variance(rows: readonly Float64Array[]): number {
  let sum = 0;
  const nodes = rows[0]!.length;
  for (let q = 0; q < nodes; q++) {
    const mean = rows.reduce((total, row) => total + row[q]!, 0) / rows.length;
    for (const row of rows) sum += (row[q]! - mean) ** 2;
  }
  return sum / (rows.length - 1) / nodes;
}

/** Turning signs takes for granted that changes are symmetric about their mean. */
function symmetryCheck(golfers: readonly GolferCurve[]): Check {
  const name = 'symmetry of changes';
  const n = golfers.length;
  const means = golfers.map(({ row }) => row.reduce((sum, value) => sum + value, 0) / row.length);
  const centre = means.reduce((sum, value) => sum + value, 0) / n;
  const moment = (power: number) => means.reduce((sum, value) => sum + (value - centre) ** power, 0) / n;
  if (n < FEW || !(moment(2) > 0))
    return {
      name,
      outcome: 'not-possible',
      words: 'There are too few golfers to see whether changes are symmetric.',
    };
  const skewness = moment(3) / moment(2) ** 1.5;
  const words = `The skewness of the golfers' changes, averaged over the downswing, is ${figure(skewness, 2)}; turning signs takes for granted that it is none.`;
  // 2 standard errors of the skewness of a normal sample (Cramer 1946, 29.3.7).
  const limit = 2 * Math.sqrt((6 * n * (n - 1)) / ((n - 2) * (n + 1) * (n + 3)));
  return Math.abs(skewness) > limit
    ? { name, outcome: 'look', words: `${words} One or a few golfers changed far more than the others.` }
    : { name, outcome: 'good', words };
}
