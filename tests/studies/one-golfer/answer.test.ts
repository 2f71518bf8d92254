import { describe, expect, it } from 'vitest';
import type { SmallestChange } from '../../../src/studies/index.ts';
import type { Change } from '../../../src/studies/one-golfer/analysis/change.ts';
import type { Randomisation } from '../../../src/studies/one-golfer/analysis/randomisation.ts';
import {
  type AnswerParts,
  answerText,
  drawSentence,
  noiseSentence,
  nothingToCompare,
  pWords,
  randomisationSentence,
  sizeSentence,
  trendSentence,
} from '../../../src/studies/one-golfer/wording/answer.ts';

const SMALLEST: SmallestChange = { value: 2, unit: 'deg', from: 'plan', why: '', goodDirection: 1 };
const change = (value: number, interval: readonly [number, number] | null): Change => ({
  method: interval === null ? 'none' : 'series',
  value,
  interval,
  degreesOfFreedom: 10,
  autocorrelation: null,
  why: 'nothing says how sure this is',
});
const test = (more: Partial<Extract<Randomisation, { ok: true }>['table']> = {}): Randomisation => ({
  ok: true,
  remedy: 'AB needs 29 sessions in all',
  table: {
    kind: 'phases',
    pattern: 'AB',
    sessions: 30,
    least: 3,
    ways: 25,
    difference: 3,
    p: 0.04,
    smallestP: 0.04,
    exact: true,
    counted: 25,
    drawn: true,
    interval: null,
    differences: [],
    ...more,
  },
});
const PARTS: AnswerParts = {
  golfers: ['G01'],
  label: 'shaft lean at impact',
  column: 'shaft_lean_impact_deg',
  unit: 'deg',
  decimals: 1,
  level: 0.95,
  counts: { before: 7, after: 8 },
  reversed: false,
  change: change(3, [2.2, 3.8]),
  observed: 3.1,
  smallest: SMALLEST,
  detectable: 1.4,
  noiseFrom: "this golfer's own 15 sessions, each against its phase",
  randomisation: test(),
  besidesTrend: change(3, [1, 5]),
};

describe('the size in a sentence', () => {
  const said = (value: number, interval: readonly [number, number] | null, more: Partial<AnswerParts> = {}) =>
    sizeSentence({ ...PARTS, ...more, change: change(value, interval) });
  it('forward, with the good direction', () => {
    expect(said(3, [2.2, 3.8])).toBe(
      'Shaft lean at impact of G01 was 3.0 deg further forward (95% interval 2.2 to 3.8 deg) in the 8 sessions from the start of the training on than in the 7 before; even the near end of the interval is at least the 2.0 deg that matters: a change that matters, in the good direction.',
    );
  });
  it('backward', () => {
    expect(said(-3, [-3.8, -2.2])).toContain('3.0 deg further back (95% interval 2.2 to 3.8 deg)');
    expect(said(-3, [-3.8, -2.2])).toContain('in the wrong direction');
  });
  it('where less is better, and where neither is', () => {
    const less = { smallest: { ...SMALLEST, goodDirection: -1 as const } };
    expect(said(-3, [-3.8, -2.2], less)).toContain('a change that matters, in the good direction');
    const neither = { smallest: { ...SMALLEST, goodDirection: 0 as const } };
    expect(said(-3, [-3.8, -2.2], neither)).toContain('neither direction is better in itself');
  });
  it('too small to matter, and nothing settled', () => {
    expect(said(0.2, [-0.9, 1.2])).toContain('too small to matter');
    expect(said(0.5, [-3, 4])).toContain('in either direction, and none at all, so it cannot be told');
  });
  it('about the same', () => {
    expect(said(0.001, [-0.9, 0.9])).toContain('was about the same');
    expect(said(0.001, [-0.9, 0.9])).toContain('as in the 7 before');
  });
  it('without an interval, and without a smallest change', () => {
    expect(said(3, null)).toContain('; nothing says how sure this is, so it cannot be told.');
    expect(said(3, [2, 4], { smallest: null })).toContain('whether it matters cannot be told');
  });
  it('phases that come and go; several golfers; other units', () => {
    expect(said(3, [2.2, 3.8], { reversed: true })).toContain(
      'in the 8 sessions with the training than in the 7 without',
    );
    expect(said(3, [2.2, 3.8], { golfers: ['G01', 'G02'] })).toContain('of G01 and G02 was');
    expect(
      said(0.2, [0.1, 0.3], { unit: 'yes/no', decimals: 2, column: 'ground_first', smallest: null }),
    ).toContain('20 percentage points higher (95% interval 10 to 30 percentage points)');
  });
});

describe('noise', () => {
  it('more than noise, no more than noise, and not known', () => {
    expect(noiseSentence(PARTS)).toBe(
      "The difference of the plain means, 3.1 deg, is more than noise alone makes of such means in 95% of cases where days are unrelated (1.4 deg, from this golfer's own 15 sessions, each against its phase).",
    );
    expect(noiseSentence({ ...PARTS, observed: -1.1 })).toContain('1.1 deg, is no more than noise alone');
    expect(noiseSentence({ ...PARTS, detectable: null, noiseFrom: null })).toBe(
      'How large a difference noise alone makes is not known from these data.',
    );
    expect(noiseSentence({ ...PARTS, observed: null })).toBeNull();
  });
});

describe('the draw', () => {
  it('drawn and within reach', () => {
    expect(drawSentence(test())).toBe(
      'The design was drawn at random, says the plan: randomisation test p = 0.04, of 25 ways.',
    );
    expect(randomisationSentence(test())).toBe(
      'The plan says that the design was drawn at random: randomisation test p = 0.04 (1 of the 25 ways in which it could have fallen give a difference as large).',
    );
  });
  it('not drawn: only as if', () => {
    expect(drawSentence(test({ drawn: false }))).toContain('nothing says that it was');
    expect(randomisationSentence(test({ drawn: false }))).toContain('so this p is only as if.');
  });
  it('out of reach, with what would reach', () => {
    const few = test({ ways: 11, counted: 11, p: 1 / 11, smallestP: 1 / 11 });
    expect(drawSentence(few)).toBe(
      'A randomisation test cannot reach p = 0.05 here: the design could have fallen in 11 ways, so the smallest possible p is 0.0909.',
    );
    expect(randomisationSentence(few)).toContain('p = 0.05 cannot be reached (AB needs 29 sessions in all)');
    expect(drawSentence(test({ ways: 1, smallestP: 1, p: 1 }))).toContain('could have fallen in 1 way,');
  });
  it('not all ways counted, and no test', () => {
    expect(randomisationSentence(test({ exact: false, counted: 20_000, ways: 1e6 }))).toContain(
      'counted in 20000 of the 1000000 ways',
    );
    const none: Randomisation = { ok: false, why: 'there are no two phases to compare' };
    expect(drawSentence(none)).toBeNull();
    expect(randomisationSentence(none)).toBe('No randomisation test: there are no two phases to compare.');
  });
  it('p in figures that say something', () => {
    expect([1, 0.9246646, 0.0476190476, 0.00606, 0.000123].map(pWords)).toEqual([
      '1',
      '0.925',
      '0.0476',
      '0.0061',
      '0.00012',
    ]);
  });
});

describe('a steady trend', () => {
  const wide = change(1, [-2, 4]);
  it('is said where the change is clear alone and not beside a line', () => {
    expect(trendSentence({ ...PARTS, besidesTrend: wide })).toContain('may have been changing anyway');
    expect(trendSentence({ ...PARTS, besidesTrend: wide, reversed: true })).toContain('no longer clear');
  });
  it('else not', () => {
    expect(trendSentence(PARTS)).toBeNull();
    expect(trendSentence({ ...PARTS, besidesTrend: null })).toBeNull();
    expect(trendSentence({ ...PARTS, change: change(1, [-1, 3]), besidesTrend: wide })).toBeNull();
    expect(trendSentence({ ...PARTS, change: change(1, null), besidesTrend: wide })).toBeNull();
  });
});

describe('the whole answer', () => {
  it('puts the sentences one after the other', () => {
    const text = answerText({ ...PARTS, besidesTrend: change(1, [-2, 4]) });
    expect(text.match(/\. [A-Z]/g)).toHaveLength(3);
  });
  it('says what is missing where nothing can be compared', () => {
    const nothing: Change = { ...change(0, null), value: null };
    expect(answerText({ ...PARTS, change: nothing, counts: { before: 3, after: 0 } })).toBe(
      'Cannot tell: there is no session with a value after the start.',
    );
    expect(nothingToCompare({ before: 2, after: 2 })).toContain(
      'a golfer has no session before, or none after',
    );
  });
});
