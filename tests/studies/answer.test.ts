import { describe, expect, it } from 'vitest';
import { NO_EFFECT } from '../../src/studies/drill-trial/analysis/effect.ts';
import { type AnswerParts, answerSentence } from '../../src/studies/drill-trial/wording/answer.ts';
import type { SmallestChange } from '../../src/studies/finding.ts';

const smallest: SmallestChange = { value: 0.8, unit: 'deg', from: 'plan', why: '', goodDirection: 1 };
const parts: AnswerParts = {
  kind: 'parallel',
  label: 'shaft lean at impact',
  column: 'shaft_lean_impact_deg',
  unit: 'deg',
  decimals: 1,
  level: 0.95,
  arm: 'drill',
  drills: ['drill'],
  control: 'usual practice',
  controlGroup: 'golfers on usual practice',
  effect: { value: 2.1, interval: [1.2, 3.0], standardError: 0.44, degreesOfFreedom: 30 },
  smallest,
  golfers: 30,
  noInterval: 'there are too few golfers to say how sure this is',
  why: '',
};

function say(change: Partial<AnswerParts>, low?: number, high?: number): string {
  const effect =
    low === undefined || high === undefined
      ? parts.effect
      : { value: (low + high) / 2, interval: [low, high] as const, standardError: 1, degreesOfFreedom: 30 };
  return answerSentence({ ...parts, effect, ...change });
}

describe('the answer in a sentence', () => {
  it('says size, interval, comparison and verdict of a change that matters', () => {
    expect(say({})).toBe(
      'Shaft lean at impact ended 2.1 deg further forward (95% interval 1.2 to 3.0 deg) in golfers who did the drill than in golfers on usual practice; even the near end of the interval is at least the 0.8 deg that matters: a change that matters, in the good direction.',
    );
  });
  it('says when it went the wrong way', () => {
    const words = say({}, -3, -1.2);
    expect(words).toContain('2.1 deg further back (95% interval 1.2 to 3.0 deg)');
    expect(words).toContain('in the wrong direction');
  });
  it('takes less as good where less is good', () => {
    const words = say({ smallest: { ...smallest, goodDirection: -1 } }, -3, -1.2);
    expect(words).toContain('a change that matters, in the good direction');
  });
  it('says that neither direction is better where that is so', () => {
    const words = say({ smallest: { ...smallest, goodDirection: 0 } }, -3, -1.2);
    expect(words).toContain('neither direction is better in itself');
  });
  it('says too small, and whether there is a change at all', () => {
    expect(say({}, -0.5, 0.6)).toContain(
      'the whole interval is within 0.8 deg either way: too small to matter',
    );
    expect(say({}, 0.1, 0.6)).toContain('there is a change, but the whole interval is within the 0.8 deg');
  });
  it('tells apart the ways of not knowing', () => {
    expect(say({}, 0.2, 2)).toContain('changed in the good direction, but perhaps by less than the 0.8 deg');
    expect(say({}, -2, -0.2)).toContain('changed in the wrong direction, perhaps by less than the 0.8 deg');
    expect(say({}, -0.3, 2)).toContain('for the worse of the 0.8 deg that matters is ruled out');
    expect(say({}, -2, 0.3)).toContain('a gain of the 0.8 deg that matters is ruled out');
    expect(say({}, -2, 2)).toContain('in either direction, and none at all');
    expect(say({ smallest: { ...smallest, goodDirection: 0 } }, 0.2, 2)).toContain(
      '; it changed, but perhaps',
    );
    expect(say({ effect: { ...NO_EFFECT, value: 2 } })).toContain('too few golfers to say how sure this is');
    expect(say({ effect: NO_EFFECT, why: 'nobody came back.' })).toBe('Cannot tell: nobody came back.');
    expect(say({ smallest: null })).toContain('nothing says how small a change would matter');
  });
  it('says about the same, not that there is no difference, when the size rounds to nothing', () => {
    const words = say({}, -0.52, 0.5);
    expect(words).toContain(
      'ended about the same (95% interval from 0.5 deg further back to 0.5 deg further forward)',
    );
    expect(words).toContain('in golfers who did the drill as in golfers on usual practice');
  });
  it('never speaks of an effect without a control', () => {
    const words = say({ kind: 'before-after', control: null, controlGroup: null });
    expect(words).toContain(
      'was 2.1 deg further forward (95% interval 1.2 to 3.0 deg) after the drill than before',
    );
    expect(words).toMatch(/Without a control group this is a change and not the effect of the drill\.$/);
    const unsure = say({ kind: 'before-after', control: null, controlGroup: null, smallest: null });
    expect(unsure).toMatch(/without a control group this is a change and not the effect of the drill\.$/);
  });
  it('says when it was one golfer', () => {
    const words = say({
      kind: 'before-after',
      control: null,
      controlGroup: null,
      golfers: 1,
      effect: { ...NO_EFFECT, value: 2 },
    });
    expect(words).toContain(
      'of the one golfer measured was 2.0 deg further forward after the drill than before',
    );
  });
  it('speaks of a crossover, a stepped start and several arms in their own words', () => {
    expect(say({ kind: 'crossover' })).toContain(
      'after the drill than after usual practice in the same golfers',
    );
    expect(say({ kind: 'stepped-start' })).toContain(
      'once golfers had started the drill than before their start',
    );
    expect(say({ arm: 'towel', drills: ['towel', 'board'] })).toContain("in golfers in 'towel' than in");
  });
  it('shows enough digits that the limits do not seem equal', () => {
    expect(say({}, 0.83, 3)).toContain('0.83 to 3.00 deg');
    expect(say({}, 0.83, 3)).toContain('at least the 0.80 deg that matters');
  });
});
