import type { SmallestChange } from '../../finding.ts';
import {
  amount,
  capitalised,
  decimalsToShow,
  difference,
  intervalOfDifference,
  type Shown,
} from '../../shared/words.ts';
import type { CurveAnswer } from '../analysis/answers.ts';
import { mattersWindows } from '../analysis/curve-verdict.ts';
import type { CurveAxis } from '../input/axis.ts';
import type { ComparisonWords } from './comparison-words.ts';
import { stretchesWords, timeWords } from './place.ts';

export interface AnswerParts {
  readonly label: string;
  readonly column: string;
  readonly unit: string;
  readonly decimals: number;
  readonly level: number;
  readonly axis: CurveAxis;
  readonly words: ComparisonWords;
  readonly answer: CurveAnswer;
  readonly smallest: SmallestChange | null;
  readonly golfers: number;
  /** Whether a change without a control group is what was found. */
  readonly uncontrolled: boolean;
}

/** The answer in one sentence: where, how much there with what certainty, and whether that matters. */
export function answerSentence(parts: AnswerParts): string {
  const { answer, label, words, axis, uncontrolled } = parts;
  const { compared, node } = answer;
  const { band, windows, effect } = compared;
  if (band === null) return tooFewGolfers(parts);
  const interval = [band.low[node]!, band.high[node]!] as const;
  const decimals = decimalsToShow(interval, parts.smallest?.value ?? null, parts.decimals);
  const shown: Shown = { column: parts.column, unit: parts.unit, decimals, level: parts.level };
  const after = uncontrolled
    ? '. Without a control group this is a change and not the effect of the drill'
    : '';
  if (windows.length === 0) {
    const opening = `No stretch of the downswing was found in which ${label} ${words.differed}`;
    return `${opening}${nowhere(parts, decimals)}${after}.`;
  }
  const where = stretchesWords(axis, windows);
  const size = `at ${timeWords(axis, axis.times[node]!)} it was ${difference(effect[node]!, shown)} ${words.than} (${intervalOfDifference(interval, shown)}, holding for all instants at once)`;
  return `${capitalised(label)} ${words.differed} ${where}: ${size}${somewhere(parts, decimals)}${after}.`;
}

/** Whether what was found matters, from the semicolon on. */
function somewhere({ answer, smallest, axis }: AnswerParts, decimals: number): string {
  if (smallest === null)
    return '; nothing says how small a difference would matter, so whether it matters cannot be told';
  const { value, unit, goodDirection } = smallest;
  const s = amount(value, unit, decimals);
  const matters = mattersWindows(answer.compared, smallest);
  if (matters.length > 0) {
    const good = matters.filter(({ sign }) => sign === goodDirection);
    const bad = matters.filter(({ sign }) => sign !== goodDirection);
    const opening = `; ${stretchesWords(axis, matters)} even the near end of the interval reaches the ${s} that matters`;
    if (goodDirection === 0) return `${opening}, though neither direction is better in itself`;
    if (bad.length === 0) return `${opening}, in the good direction`;
    if (good.length === 0) return `${opening}, in the wrong direction`;
    return `${opening}, in the good direction ${stretchesWords(axis, good)} and in the wrong one ${stretchesWords(axis, bad)}`;
  }
  return answer.verdict === 'too-small-to-matter'
    ? `; the whole band lies within ${s} either way: too small to matter anywhere in the downswing`
    : `; but perhaps by less than the ${s} that matters, so whether it matters cannot be told`;
}

/** What is said where the band holds zero throughout. */
function nowhere({ answer, smallest, words, unit }: AnswerParts, decimals: number): string {
  const { low, high } = answer.compared.band!;
  const widest = Math.max(...low.map(Math.abs), ...high.map(Math.abs));
  const fits = `differences (${words.whose}) of up to ${amount(widest, unit, decimals)} somewhere`;
  if (smallest === null)
    return `; the data fit ${fits}, and nothing says how small a difference would matter, so it cannot be told`;
  const s = amount(smallest.value, smallest.unit, decimals);
  return answer.verdict === 'too-small-to-matter'
    ? `, and the whole band lies within ${s} either way: too small to matter anywhere`
    : `, but the data fit ${fits}, more than the ${s} that matters, so it cannot be told`;
}

function tooFewGolfers({ answer, golfers, level }: AnswerParts): string {
  const { smallestP, possible } = answer.compared.distribution;
  return `Cannot tell: ${golfers} golfers can be rearranged in only ${possible} ways, so that even the clearest difference would have p = ${Number(smallestP.toPrecision(2))}; a ${Number((100 * level).toFixed(1))}% band needs more golfers.`;
}
