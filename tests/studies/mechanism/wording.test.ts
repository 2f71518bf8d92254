import { describe, expect, it } from 'vitest';
import { plantedSwings } from '../../../src/studies/calibration/cases/planted-paths.ts';
import type { SmallestChange } from '../../../src/studies/index.ts';
import { type Answers, ask } from '../../../src/studies/mechanism/analysis/ask.ts';
import type { Found } from '../../../src/studies/mechanism/analysis/estimate.ts';
import type { MechanismChoice } from '../../../src/studies/mechanism/input/choice.ts';
import {
  betweenSentence,
  doubtSentence,
  questionOf,
  routeSentence,
  slopeSentence,
} from '../../../src/studies/mechanism/wording/answer.ts';
import { nextSteps, warningsOf } from '../../../src/studies/mechanism/wording/cautions.ts';
import { studyMetric } from '../../../src/studies/shared/study-metric.ts';

const CHOICE: MechanismChoice = {
  predictor: 'transition_elbow_change_deg',
  mediator: 'release_onset_ms',
  outcome: 'shaft_lean_impact_deg',
  within: 'golfer',
  rule: 'all',
  held: [],
  corrected: true,
};
const lean = studyMetric('shaft_lean_impact_deg');
const whole = ask(plantedSwings({ golfers: 12, swings: 6 }, 3), CHOICE, lean, null, 1);
if ('why' in whole) throw new Error(whole.why);
const base: Answers = whole;

const estimate = (low: number, high: number): Found => ({
  value: (low + high) / 2,
  standardError: (high - low) / 4,
  degreesOfFreedom: 20,
  interval: [low, high],
});
const smallest = (goodDirection: 1 | -1 | 0): SmallestChange => ({
  value: 1,
  unit: 'deg per 10 deg',
  from: 'plan',
  why: '',
  goodDirection,
});
const with_ = (more: Partial<Answers>): Answers => ({ ...base, ...more });

describe('the sentence of the slope', () => {
  it.each([
    [
      'beyond-good',
      1.2,
      3,
      1,
      '2.1 deg further forward (95% interval 1.2 to 3.0 deg): more than the 1.0 deg that matters, the good way.',
    ],
    [
      'beyond-bad',
      -3,
      -1.2,
      1,
      '2.1 deg further back (95% interval 1.2 to 3.0 deg): more than the 1.0 deg that matters, but the wrong way.',
    ],
    ['beyond-either', 1.2, 3, 0, 'which way is better is not laid down for this number.'],
    ['less is better', -3, -1.2, -1, 'more than the 1.0 deg that matters, the good way.'],
    ['inside', -0.4, 0.8, 1, 'less than the 1.0 deg that matters, whichever end of the interval is true.'],
    [
      'maybe too little',
      0.2,
      1.8,
      1,
      'They go together, the good way, but whether by the 1.0 deg that matters these swings cannot tell.',
    ],
    ['maybe too little, no good way', 0.2, 1.8, 0, 'They go together, but whether by the 1.0 deg'],
    [
      'worse, maybe too little',
      -1.8,
      -0.2,
      1,
      'They go together the wrong way; whether by the 1.0 deg that matters these swings cannot tell.',
    ],
    [
      'harm ruled out',
      -0.4,
      1.8,
      1,
      'a link the wrong way by 1.0 deg is ruled out, one the good way is not.',
    ],
    [
      'benefit ruled out',
      -1.8,
      0.4,
      1,
      'a link the good way by 1.0 deg is ruled out, one the wrong way is not.',
    ],
    ['anything', -1.8, 1.6, 1, 'they cannot tell.'],
  ] as const)('says %s', (_, low, high, good, words) => {
    const said = slopeSentence(with_({ answer: estimate(low, high), smallest: smallest(good) }), {
      ...lean,
      goodDirection: good,
    });
    expect(said).toContain(words);
    expect(said).toMatch(/^In one and the same golfer, when the elbow straightened by 10 deg more/);
  });

  it('says that nothing is known without an interval, or without a smallest difference', () => {
    const bare = { ...estimate(1, 2), interval: null };
    expect(slopeSentence(with_({ answer: bare, smallest: smallest(1) }), lean)).toMatch(
      /without an interval: these swings cannot tell/,
    );
    expect(slopeSentence(with_({ answer: estimate(1, 2), smallest: null }), lean)).toMatch(
      /Whether that matters cannot be said/,
    );
  });
});

describe('the other sentences', () => {
  const between = (low: number, high: number, gap: Found | null) =>
    betweenSentence(
      with_({
        mixed: { ...base.mixed!, between: { transition_elbow_change_deg: estimate(low, high) } },
        contextual: gap,
      }),
      lean,
    );

  it('tell the slope between golfers apart, or do not', () => {
    expect(between(-0.4, -0.2, estimate(-0.3, -0.1))).toMatch(
      /3.0 deg further forward .*which is not the same slope .*would have misled here/,
    );
    expect(between(0.2, 0.4, estimate(-0.1, 0.1))).toMatch(
      /3.0 deg further back .*no answer to what one golfer should do/,
    );
    expect(between(0.2, 0.4, null)).toMatch(/too few golfers for a slope between them/);
    expect(betweenSentence(with_({ mixed: null }), lean)).toMatch(/too few golfers/);
  });

  it('tell the way by the release, or that it cannot be told', () => {
    const route = (value: number, interval: readonly [number, number]) => {
      const { mediated } = base;
      const chain = mediated!.chain;
      const drawn = { value, interval, standardError: 1, monteCarloError: [0, 0] as const };
      return routeSentence(
        with_({
          mediated: { ...mediated!, chain: { ...chain, routes: [{ ...chain.routes[0]!, estimate: drawn }] } },
        }),
        lean,
      );
    };
    expect(route(-0.15, [-0.2, -0.1])).toBe(
      'Of this, 1.5 deg (95% interval 1.0 to 2.0) goes by way of release onset before impact, further forward, if the arrows are right.',
    );
    expect(route(0.15, [0.1, 0.2])).toMatch(/further back, if the arrows are right/);
    expect(route(0.01, [-0.1, 0.12])).toMatch(
      /^How much of it goes by way of release onset before impact cannot be told/,
    );
    expect(routeSentence(with_({ mediated: null }), lean)).toMatch(/could not be estimated/);
    expect(
      routeSentence(
        with_({ mediated: null, slope: { ...base.slope, choice: { ...CHOICE, mediator: null } } }),
        lean,
      ),
    ).toMatch(/was not measured/);
  });

  it('always say that a link is no proof, with a strength where there is a link', () => {
    const unmeasured = { ...base.unmeasured!, intervalToZero: 0.123 };
    expect(doubtSentence(with_({ answer: estimate(1, 2), unmeasured }))).toBe(
      'A link in a roster is no proof of cause: something unmeasured that explains 12% of what varies in both from swing to swing would be enough to explain it away.',
    );
    expect(doubtSentence(with_({ answer: estimate(-1, 2), unmeasured }))).toBe(
      'A link in a roster is no proof of cause.',
    );
    expect(doubtSentence(with_({ unmeasured: null }))).toBe('A link in a roster is no proof of cause.');
  });

  it('take the question from the plan', () => {
    expect(questionOf(base, lean, 'Planned?')).toBe('Planned?');
    expect(questionOf(base, lean, undefined)).toMatch(
      /^Does 10 deg more straightening go with a change of shaft lean at impact/,
    );
  });

  it('say what to do next for every verdict', () => {
    const first = (more: Partial<Answers>) => nextSteps(with_(more), false)[0];
    expect(first({ verdict: 'meaningful' })).toMatch(/half of the golfers by lot/);
    expect(first({ verdict: 'opposite' })).toMatch(/Do not teach it/);
    expect(first({ verdict: 'too-small-to-matter' })).toMatch(/Look elsewhere/);
    expect(first({ verdict: 'cannot-tell', answer: estimate(0.2, 2) })).toMatch(/More swings of each golfer/);
    expect(first({ verdict: 'cannot-tell', answer: estimate(-1, 2) })).toMatch(/early, usual and late/);
    expect(nextSteps(with_({ mediated: null }), true).join(' ')).toMatch(
      /Measure when the club is let go.*Write a plan/,
    );
  });

  it('warn of few golfers and of a single day', () => {
    const frame = { ...base.slope.frame, golfers: 7, sessions: 7 };
    const said = warningsOf(with_({ slope: { ...base.slope, frame } })).join(' ');
    expect(said).toMatch(/Only 7 golfers.*one day only/);
  });
});
