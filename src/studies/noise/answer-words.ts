import type { SmallestChange } from '../finding.ts';
import type { Agreement, NoiseTables } from '../noise-tables.ts';
import type { StudyMetric } from '../shared/study-metric.ts';
import { amount, capitalised, count, decimalsToShow, figureIn, percent } from '../shared/words.ts';
import type { NoiseAnswer, NoiseStanding } from './analyse.ts';

export interface NoiseAnswerParts {
  readonly metric: Pick<StudyMetric, 'label' | 'unit' | 'decimals'>;
  readonly answer: Pick<NoiseAnswer, 'detectableNow' | 'now' | 'level' | 'withSessions'>;
  readonly smallest: Pick<SmallestChange, 'value'> | null;
  readonly standing: NoiseStanding;
  readonly basis: NoiseTables['basis'];
  /** Why nothing is known of the noise, where that is so. */
  readonly why: string;
}

/** The answer in one sentence: whether a change that matters stands out from one golfer's noise, as measured now. */
export function noiseSentence(parts: NoiseAnswerParts): string {
  const { metric, answer, smallest, standing, why } = parts;
  const { detectableNow: detectable, now, level } = answer;
  if (detectable === null || standing === 'no-interval') return `Cannot tell: ${why}.`;
  const interval = detectable.interval!;
  const decimals = decimalsToShow(interval, smallest?.value ?? null, metric.decimals);
  const show = (value: number) => amount(value, metric.unit, decimals);
  const visits = `${count(now.sessions, 'session')} of ${count(now.swings, 'swing')} before and after`;
  const noise = `noise alone moves a golfer's mean by up to ${show(detectable.value)} in 95 of 100 comparisons (${percent(level, 1)} interval of that limit ${figureIn(interval[0], metric.unit, decimals)} to ${show(interval[1])})`;
  const change = smallest === null ? '' : `a change of ${show(smallest.value)} in ${metric.label}`;
  switch (standing) {
    case 'seen':
      return `${capitalised(change)} can be seen in one golfer: with ${visits}, ${noise}.`;
    case 'hidden':
      return answer.withSessions
        ? `${capitalised(change)} cannot be told from noise in one golfer: with ${visits}, ${noise}.`
        : `${capitalised(change)} cannot be told from noise in one golfer: with ${visits}, the spread of swings by itself, day-to-day differences not counted, moves a golfer's mean by up to ${show(detectable.value)} in 95 of 100 comparisons.`;
    case 'border':
      return `Whether ${change} can be seen in one golfer cannot be told yet: with ${visits}, ${noise}, and what matters lies within that interval.`;
    case 'taught':
      return `Whether ${change} can be seen in one golfer cannot be told: with ${visits}, ${noise}, but golfers were taught between these sessions, and what each of them learned is counted as noise.`;
    case 'swings-only':
      return `Whether ${change} can be seen in one golfer cannot be told: from the spread of swings alone, with ${visits}, a golfer's mean moves by up to ${show(detectable.value)} in 95 of 100 comparisons, and no golfer was measured often enough without teaching to say how much one day differs from another.`;
    case 'no-smallest':
      return `With ${visits}, ${noise}; nothing says how small a change would matter, so whether that is too noisy cannot be told.`;
  }
}

/** How two sets of readings stand: within what matters, beyond it, or not to be told. */
export type AgreementStanding = 'agree' | 'differ' | 'border' | 'no-smallest';

/** The limit further from zero with its interval, without its sign: single readings differ by up to that. */
export function widestLimit(agreement: Agreement): {
  readonly value: number;
  readonly interval: readonly [number, number];
} {
  const up = Math.abs(agreement.upper) >= Math.abs(agreement.lower);
  const value = up ? agreement.upper : agreement.lower;
  const [low, high] = up ? agreement.upperInterval : agreement.lowerInterval;
  return value >= 0
    ? { value, interval: [Math.max(0, low), high] }
    : { value: -value, interval: [Math.max(0, -high), -low] };
}

/**
 * `agree`: both limits of agreement lie within what matters, with their intervals; `differ`: the wider limit lies beyond it
 * with its whole interval.
 */
export function agreementStanding(
  agreement: Agreement,
  smallest: Pick<SmallestChange, 'value'> | null,
): AgreementStanding {
  if (smallest === null) return 'no-smallest';
  const furthest = Math.max(-agreement.lowerInterval[0], agreement.upperInterval[1]);
  if (furthest < smallest.value) return 'agree';
  return widestLimit(agreement).interval[0] >= smallest.value ? 'differ' : 'border';
}

/** The answer about two definitions or devices in one sentence. */
export function agreementSentence(
  agreement: Agreement,
  metric: Pick<StudyMetric, 'unit' | 'decimals'>,
  smallest: Pick<SmallestChange, 'value'> | null,
): string {
  const decimals = decimalsToShow(agreement.meanInterval, smallest?.value ?? null, metric.decimals);
  const show = (value: number) => amount(value, metric.unit, decimals);
  const between = ([low, high]: readonly [number, number], and: string) =>
    `${figureIn(low, metric.unit, decimals)} ${and} ${show(high)}`;
  const sign = agreement.mean < 0 ? -1 : 1;
  const ends = [agreement.meanInterval[0] * sign, agreement.meanInterval[1] * sign].sort((a, b) => a - b);
  const opening = `${capitalised(agreement.first)} reads ${show(Math.abs(agreement.mean))} ${sign < 0 ? 'less' : 'more'} than ${agreement.second} on average (${percent(agreement.level, 1)} interval ${between(ends as [number, number], 'to')}), and 95 of 100 single differences lie between ${between([agreement.lower, agreement.upper], 'and')}`;
  const s = smallest === null ? '' : show(smallest.value);
  switch (agreementStanding(agreement, smallest)) {
    case 'agree':
      return `${opening}: even the far ends of these limits are within the ${s} that matters, so one can stand in for the other.`;
    case 'differ':
      return `${opening}: single readings differ by more than the ${s} that matters, so one cannot stand in for the other.`;
    case 'border':
      return `${opening}: whether single readings differ by more than the ${s} that matters cannot be told from so few.`;
    case 'no-smallest':
      return `${opening}; nothing says how small a difference would matter.`;
  }
}
