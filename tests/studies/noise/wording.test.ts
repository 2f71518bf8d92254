import { describe, expect, it } from 'vitest';
import { type NoiseStanding, noiseStanding, noiseVerdict } from '../../../src/studies/noise/analyse.ts';
import {
  agreementSentence,
  agreementStanding,
  noiseSentence,
  widestLimit,
} from '../../../src/studies/noise/answer-words.ts';
import type { Agreement } from '../../../src/studies/noise-tables.ts';

const metric = { label: 'shaft lean at impact', unit: 'deg', decimals: 1 };
const size = (value: number, low: number, high: number) => ({
  value,
  interval: [low, high] as const,
  degreesOfFreedom: 20,
});
const say = (
  standing: NoiseStanding,
  smallest: number | null,
  detectable = size(2.5, 2, 3),
  withSessions = true,
) =>
  noiseSentence({
    metric,
    answer: { detectableNow: detectable, now: { sessions: 2, swings: 8 }, level: 0.95, withSessions },
    smallest: smallest === null ? null : { value: smallest },
    standing,
    basis: 'repeats',
    why: 'the values do not differ at all',
  });

describe('where the detectable change stands, every branch', () => {
  const at = (
    interval: readonly [number, number] | null,
    d: number | null,
    basis: 'repeats' | 'all' | 'one-session',
  ) =>
    noiseStanding(
      { detectableNow: interval === null ? null : size(1, ...interval) },
      d === null ? null : { value: d },
      basis,
    );
  it.each([
    [[2, 3], 4, 'repeats', 'seen', 'too-small-to-matter'],
    [[2, 3], 2, 'repeats', 'hidden', 'meaningful'],
    [[2, 3], 1, 'repeats', 'hidden', 'meaningful'],
    [[2, 3], 2.5, 'repeats', 'border', 'cannot-tell'],
    [[2, 3], 3, 'repeats', 'border', 'cannot-tell'],
    [[2, 3], 4, 'all', 'seen', 'too-small-to-matter'],
    [[2, 3], 1, 'all', 'taught', 'cannot-tell'],
    [[2, 3], 2.5, 'all', 'taught', 'cannot-tell'],
    [[2, 3], 4, 'one-session', 'swings-only', 'cannot-tell'],
    [[2, 3], 2.5, 'one-session', 'swings-only', 'cannot-tell'],
    [[2, 3], 1, 'one-session', 'hidden', 'meaningful'],
    [null, 1, 'repeats', 'no-interval', 'cannot-tell'],
    [[2, 3], null, 'repeats', 'no-smallest', 'cannot-tell'],
  ] as const)('%j against %s from %s: %s', (interval, d, basis, standing, verdict) => {
    expect(at(interval, d, basis)).toBe(standing);
    expect(noiseVerdict(standing)).toBe(verdict);
  });
});

describe('the sentence on noise, every branch', () => {
  it.each([
    [
      'seen',
      4,
      "A change of 4.0 deg in shaft lean at impact can be seen in one golfer: with 2 sessions of 8 swings before and after, noise alone moves a golfer's mean by up to 2.5 deg in 95 of 100 comparisons (95% interval of that limit 2.0 to 3.0 deg).",
    ],
    ['hidden', 1, 'cannot be told from noise in one golfer'],
    ['border', 2.5, 'what matters lies within that interval'],
    ['taught', 1, 'what each of them learned is counted as noise'],
    ['swings-only', 4, 'how much one day differs from another'],
    ['no-smallest', null, 'nothing says how small a change would matter'],
    ['no-interval', 1, 'Cannot tell: the values do not differ at all.'],
  ] as const)('%s', (standing, smallest, part) => {
    const sentence = say(standing, smallest);
    expect(sentence).toContain(part);
    expect(sentence).toMatch(/^[A-Z].*\.$/);
    expect(sentence).not.toMatch(/NaN|undefined|null|Infinity/);
  });

  it('without sessions says that they are not counted', () => {
    expect(say('hidden', 1, size(2.5, 2, 3), false)).toContain('day-to-day differences not counted');
  });
});

describe('two definitions or devices, every branch', () => {
  const agreement = (mean: number, half: number, room: number): Agreement => ({
    kind: 'definitions',
    first: 'largest lag',
    second: 'lag at the top',
    pairing: '',
    golfers: 12,
    pairs: 96,
    mean,
    meanInterval: [mean - room, mean + room],
    sd: half / 1.96,
    lower: mean - half,
    lowerInterval: [mean - half - room, mean - half + room],
    upper: mean + half,
    upperInterval: [mean + half - room, mean + half + room],
    level: 0.95,
    slope: null,
    slopeInterval: null,
    together: null,
    points: [],
  });
  it.each([
    [agreement(0.1, 0.5, 0.2), 1, 'agree', 'one can stand in for the other'],
    [agreement(2, 0.5, 0.2), 1, 'differ', 'one cannot stand in for the other'],
    [
      agreement(-2, 0.5, 0.2),
      1,
      'differ',
      'Largest lag reads 2.0 deg less than lag at the top on average (95% interval 1.8 to 2.2 deg)',
    ],
    [agreement(0, 3, 0.2), 1, 'differ', 'single readings differ by more than the 1.0 deg that matters'],
    [agreement(0, 1, 0.4), 1, 'border', 'cannot be told from so few'],
    [agreement(0, 1, 0.4), null, 'no-smallest', 'nothing says how small a difference would matter'],
  ] as const)('%#: %s', (found, d, standing, words) => {
    const smallest = d === null ? null : { value: d };
    expect(agreementStanding(found, smallest)).toBe(standing);
    expect(agreementSentence(found, metric, smallest)).toContain(words);
  });
  it('takes the limit further from zero, without its sign', () => {
    expect(widestLimit(agreement(-2, 1, 0.2))).toEqual({ value: 3, interval: [2.8, 3.2] });
    expect(widestLimit(agreement(2, 1, 0.2))).toEqual({ value: 3, interval: [2.8, 3.2] });
  });
});
