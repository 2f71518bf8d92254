import { describe, expect, it } from 'vitest';
import type { SmallestChange } from '../../../src/studies/finding.ts';
import type { CurveAnswer } from '../../../src/studies/waveform/analysis/answers.ts';
import type { CurveComparison } from '../../../src/studies/waveform/analysis/compare-curves.ts';
import {
  curveVerdict,
  decidingNode,
  mattersWindows,
} from '../../../src/studies/waveform/analysis/curve-verdict.ts';
import type { CurveAxis } from '../../../src/studies/waveform/input/axis.ts';
import { answerSentence } from '../../../src/studies/waveform/wording/answer.ts';
import { comparisonWords } from '../../../src/studies/waveform/wording/comparison-words.ts';
import { nextSteps } from '../../../src/studies/waveform/wording/next-steps.ts';
import { afterInstant, stretchWords, timeWords } from '../../../src/studies/waveform/wording/place.ts';

const TIMES = [0, 25, 50, 75, 100];
const AXIS: CurveAxis = {
  kind: 'registered',
  label: 'part of the downswing',
  unit: '%',
  times: TIMES,
  marks: [
    { x: 0, label: 'top' },
    { x: 45, label: 'lead arm parallel' },
    { x: 100, label: 'impact' },
  ],
};

const smallest = (goodDirection: 1 | -1 | 0, value = 2): SmallestChange => ({
  value,
  unit: 'deg',
  from: 'plan',
  why: '',
  goodDirection,
});

/** A comparison of five nodes from its differences and half the width of its band. */
function answer(effect: readonly number[], half: number | null, least: SmallestChange | null): CurveAnswer {
  const differences = Float64Array.from(effect);
  const band =
    half === null
      ? null
      : { low: differences.map((value) => value - half), high: differences.map((value) => value + half) };
  const windows: { from: number; to: number; sign: 1 | -1 }[] = [];
  effect.forEach((value, q) => {
    if (half === null || Math.abs(value) <= half) return;
    const sign = value > 0 ? 1 : -1;
    const last = windows.at(-1);
    if (last !== undefined && last.to === q - 1 && last.sign === sign) last.to = q;
    else windows.push({ from: q, to: q, sign });
  });
  const compared = {
    effect: differences,
    band,
    windows,
    distribution: { smallestP: 0.125, possible: 8 },
  } as unknown as CurveComparison;
  const verdict = curveVerdict(compared, least);
  return { compared, verdict, node: decidingNode(compared, verdict, least?.goodDirection ?? 0) };
}

const ARMS = { first: 'drill', second: 'control', hasControl: true, of: new Map() };

function sentence(
  effect: readonly number[],
  half: number | null,
  least: SmallestChange | null,
  more: Partial<Parameters<typeof answerSentence>[0]> = {},
): string {
  return answerSentence({
    label: 'lag angle',
    column: 'lag_angle',
    unit: 'deg',
    decimals: 1,
    level: 0.95,
    axis: AXIS,
    words: comparisonWords({ kind: 'arms-after', arms: ARMS }, 1),
    answer: answer(effect, half, least),
    smallest: least,
    golfers: 4,
    uncontrolled: false,
    ...more,
  });
}

describe('the answer in words', () => {
  it.each<[string, readonly number[], number | null, SmallestChange | null, string]>([
    [
      'matters, no direction better',
      [0, 0, 5, 6, 0],
      1,
      smallest(0),
      "Lag angle differed afterwards between 'drill' and 'control' from 50% to 75% of the downswing: at 75% of the downswing it was 6.0 deg higher in 'drill' than in 'control' (95% interval 5.0 to 7.0 deg, holding for all instants at once); from 50% to 75% of the downswing even the near end of the interval reaches the 2.0 deg that matters, though neither direction is better in itself.",
    ],
    ['matters, good', [0, 0, -5, 0, 0], 1, smallest(-1), '5.0 deg lower'],
    [
      'matters, good',
      [0, 0, -5, 0, 0],
      1,
      smallest(-1),
      'reaches the 2.0 deg that matters, in the good direction.',
    ],
    [
      'matters, bad',
      [0, 0, 5, 0, 0],
      1,
      smallest(-1),
      'reaches the 2.0 deg that matters, in the wrong direction.',
    ],
    [
      'matters, both ways',
      [5, 0, 0, -6, 0],
      1,
      smallest(1),
      'that matters, in the good direction at 0% of the downswing and in the wrong one at 75% of the downswing.',
    ],
    [
      'differs within what matters',
      [0, 0, 0.5, 0, 0],
      0.4,
      smallest(1),
      'too small to matter anywhere in the downswing.',
    ],
    [
      'differs, perhaps too little',
      [0, 0, 3, 0, 0],
      2,
      smallest(1),
      'but perhaps by less than the 2.0 deg that matters, so whether it matters cannot be told.',
    ],
    [
      'differs, nothing says what matters',
      [0, 0, 3, 0, 0],
      2,
      null,
      'nothing says how small a difference would matter, so whether it matters cannot be told.',
    ],
    [
      'nowhere, and within',
      [0.1, 0, 0, 0, 0],
      1,
      smallest(1),
      "No stretch of the downswing was found in which lag angle differed afterwards between 'drill' and 'control', and the whole band lies within 2.0 deg either way: too small to matter anywhere.",
    ],
    [
      'nowhere, anything goes',
      [1, 0, 0, 0, 0],
      3,
      smallest(1),
      "but the data fit differences ('drill' less 'control', afterwards) of up to 4.0 deg somewhere, more than the 2.0 deg that matters, so it cannot be told.",
    ],
    [
      'nowhere, nothing says what matters',
      [1, 0, 0, 0, 0],
      3,
      null,
      'and nothing says how small a difference would matter, so it cannot be told.',
    ],
    [
      'too few golfers',
      [1, 0, 0, 0, 0],
      null,
      smallest(1),
      'Cannot tell: 4 golfers can be rearranged in only 8 ways, so that even the clearest difference would have p = 0.13; a 95% band needs more golfers.',
    ],
  ])('%s', (_, effect, half, least, words) => {
    expect(sentence(effect, half, least)).toContain(words);
  });

  it('says that a change without a control is no effect', () => {
    expect(sentence([0, 0, 5, 0, 0], 1, smallest(0), { uncontrolled: true })).toMatch(
      /\. Without a control group this is a change and not the effect of the drill\.$/,
    );
  });

  it('names what is compared, each way', () => {
    const than = (comparison: Parameters<typeof comparisonWords>[0]) => comparisonWords(comparison, 5.25);
    expect(than({ kind: 'arms-change', arms: ARMS }).question('lag angle')).toBe(
      "When in the downswing did lag angle change differently in 'drill' than in 'control'?",
    );
    expect(than({ kind: 'before-after', arms: null, only: null }).than).toBe(
      'after than before, in the same golfers',
    );
    expect(
      than({
        kind: 'by-number',
        by: 'handicap_index',
        label: 'handicap index',
        unit: 'stroke',
        of: new Map(),
      }).than,
    ).toBe('in golfers one SD (5.3 strokes) higher in handicap index');
  });
});

describe('verdicts on a band', () => {
  const verdict = (effect: readonly number[], half: number | null, least: SmallestChange | null) =>
    answer(effect, half, least).verdict;

  it('follow where the whole band lies', () => {
    expect(verdict([0, 0, 5, 0, 0], 1, smallest(0))).toBe('meaningful');
    expect(verdict([0, 0, 5, 0, 0], 1, smallest(1))).toBe('meaningful');
    expect(verdict([0, 0, 5, 0, 0], 1, smallest(-1))).toBe('opposite');
    expect(verdict([5, 0, 0, -6, 0], 1, smallest(1))).toBe('meaningful');
    expect(verdict([0, 0, 3, 0, 0], 1, smallest(1))).toBe('meaningful');
    expect(verdict([0, 0, 2.9, 0, 0], 1, smallest(1))).toBe('cannot-tell');
    expect(verdict([0, 0, 0.9, 0, 0], 1, smallest(1))).toBe('too-small-to-matter');
    expect(verdict([0, 0, 1, 0, 0], 1, smallest(1))).toBe('cannot-tell');
    expect(verdict([0, 0, 5, 0, 0], null, smallest(1))).toBe('cannot-tell');
    expect(verdict([0, 0, 5, 0, 0], 1, null)).toBe('cannot-tell');
  });

  it('are shown at the node that decides, in the direction that decided', () => {
    expect(answer([5, 0, 0, -6, 0], 1, smallest(1)).node).toBe(0);
    expect(answer([5, 0, 0, -6, 0], 1, smallest(0)).node).toBe(3);
    expect(answer([0.5, 0, 0, -0.8, 0], 1, smallest(1)).node).toBe(3);
    expect(mattersWindows(answer([5, 4, 0, -6, 0], 1, smallest(1)).compared, smallest(1))).toEqual([
      { from: 0, to: 1, sign: 1 },
      { from: 3, to: 3, sign: -1 },
    ]);
  });
});

describe('places on the axis', () => {
  const ms: CurveAxis = {
    ...AXIS,
    kind: 'milliseconds',
    unit: 'ms',
    times: [-200, -150, -100, -50, 0],
    marks: [],
  };

  it('are said in its unit', () => {
    expect(timeWords(AXIS, 62.4)).toBe('62% of the downswing');
    expect(timeWords(ms, -80)).toBe('80 ms before impact');
    expect(timeWords(ms, 0)).toBe('impact');
    expect(stretchWords(AXIS, { from: 1, to: 3 })).toBe('from 25% to 75% of the downswing');
    expect(stretchWords(AXIS, { from: 2, to: 2 })).toBe('at 50% of the downswing');
    expect(stretchWords(ms, { from: 1, to: 3 })).toBe('from 150 to 50 ms before impact');
    expect(stretchWords(ms, { from: 1, to: 4 })).toBe('from 150 ms before impact to impact');
    expect(afterInstant(AXIS, 60)).toBe('15% of the downswing after lead arm parallel');
    expect(afterInstant(AXIS, 45)).toBe('at lead arm parallel');
    expect(afterInstant({ ...AXIS, marks: [] }, 45)).toBe('');
  });
});

describe('what to do next', () => {
  const next = (effect: readonly number[], half: number | null, least: SmallestChange | null) =>
    nextSteps(answer(effect, half, least), least, 4, false, false)[0];

  it('follows the verdict', () => {
    expect(next([0, 0, 5, 0, 0], null, smallest(1))).toMatch(/Measure more golfers: with 4/);
    expect(next([0, 0, 3, 0, 0], 2, smallest(1))).toMatch(/narrow the band/);
    expect(next([0, 0, 3, 0, 0], 2, null)).toMatch(/Say in a plan/);
    expect(next([1, 0, 0, 0, 0], 3, smallest(1))).toMatch(/one number at one instant/);
    expect(next([0, 0, 5, 0, 0], 1, smallest(1))).toMatch(/plan a trial/);
    expect(next([0, 0, -5, 0, 0], 1, smallest(1))).toMatch(/wrong direction/);
    expect(next([0, 0, 0.5, 0, 0], 0.4, smallest(1))).toMatch(/Let it rest/);
    const steps = nextSteps(answer([0, 0, 5, 0, 0], 1, smallest(1)), smallest(1), 9, true, true);
    expect(steps.some((step) => /without the drill/.test(step))).toBe(true);
    expect(steps.some((step) => /down in a plan/.test(step))).toBe(false);
  });
});
