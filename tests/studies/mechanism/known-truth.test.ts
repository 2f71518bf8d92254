import { describe, expect, it } from 'vitest';
import { datasetFromRows } from '../../../src/dataset/index.ts';
import { createStream } from '../../../src/numerics/index.ts';
import { mechanism } from '../../../src/studies/index.ts';
import { ask } from '../../../src/studies/mechanism/analysis/ask.ts';
import { chainOf } from '../../../src/studies/mechanism/analysis/chain.ts';
import { times } from '../../../src/studies/mechanism/analysis/estimate.ts';
import { frameOf } from '../../../src/studies/mechanism/analysis/frame.ts';
import { isSlope, slopeUnder } from '../../../src/studies/mechanism/analysis/slope.ts';
import type { MechanismChoice } from '../../../src/studies/mechanism/input/choice.ts';
import { answerUnder } from '../../../src/studies/mechanism/mechanism-under.ts';
import { studyMetric } from '../../../src/studies/shared/study-metric.ts';
import { generateCohort, loadRecipe } from '../../../src/synthetic/index.ts';
import { calibrateMechanism } from '../../bench/calibrate-mechanism.ts';
import { type Planted, plantedSwings } from './cohort.ts';

const ELBOW = 'transition_elbow_change_deg';
const RELEASE = 'release_onset_ms';
const LEAN = 'shaft_lean_impact_deg';
const CHOICE: MechanismChoice = {
  predictor: ELBOW,
  mediator: RELEASE,
  outcome: LEAN,
  within: 'golfer',
  rule: 'all',
  held: [],
  corrected: true,
};
const lean = studyMetric(LEAN);

function asked(planted: Planted, seed: number, choice = CHOICE) {
  const answers = ask(plantedSwings(planted, seed), choice, lean, null, 1);
  if ('why' in answers) throw new Error(answers.why);
  return answers;
}

describe('planted paths', () => {
  it('are recovered: slope, arrows and the way by the release', () => {
    const { slope, mediated, answer, verdict } = asked(
      { golfers: 200, swings: 15, error: { elbow: 1.5, release: 2.5 } },
      3,
    );
    expect(Math.abs(answer.value - 2.74)).toBeLessThan(3 * answer.standardError);
    expect(answer.standardError).toBeLessThan(0.15);
    expect(verdict).toBe('meaningful');
    expect(slope.reliability!.share).toBeCloseTo(11.25 / 13.5, 1);
    const [a, direct, b] = mediated!.chain.paths.map(({ estimate }) => estimate);
    for (const [path, truth] of [
      [a, 1.1],
      [b, -0.14],
      [direct, -0.12],
    ] as const)
      expect(Math.abs(path!.value - truth)).toBeLessThan(3.5 * path!.standardError);
    const route = mediated!.chain.routes[0]!.estimate;
    expect(Math.abs(route.value - 1.1 * -0.14)).toBeLessThan(3.5 * route.standardError);
    expect(mediated!.chain.failed).toBe(0);
  });

  it('are attenuated where the error is left alone, and are not where it is taken into account', () => {
    const noisy = { golfers: 150, swings: 15, error: { elbow: 3, release: 5 } };
    const { slope, mediated } = asked(noisy, 8);
    const [plain, true_] = [times(slope.uncorrected, -10), times(slope.corrected!, -10)];
    expect(plain.interval![1]).toBeLessThan(2.2);
    expect(true_.interval![0]).toBeLessThan(2.74);
    expect(true_.interval![1]).toBeGreaterThan(2.74);
    expect(mediated!.uncorrected!.routes[0]!.estimate.interval[0]).toBeGreaterThan(-0.12);
    expect(mediated!.chain.routes[0]!.estimate.interval[0]).toBeLessThan(-0.154);
    expect(mediated!.chain.routes[0]!.estimate.interval[1]).toBeGreaterThan(-0.154);
  });

  it('with slopes that vary together add their covariance', () => {
    // In these cohorts slopes vary apart, so the covariance is 0 and both ways tell the same.
    const { mediated } = asked({ golfers: 120, swings: 15, slopeSd: { a: 0.3, b: 0.04 } }, 5);
    const { varying, routes } = mediated!.chain;
    expect(Math.abs(varying!.value - routes[0]!.estimate.value)).toBeLessThan(0.02);
    expect(varying!.interval[0]).toBeLessThan(-0.154);
    expect(varying!.interval[1]).toBeGreaterThan(-0.154);
  });

  it('find where more lean stops being better, and no turn where there is none', () => {
    const curved = asked({ golfers: 60, best: { lean: 8, loss: 0.03 } }, 2);
    const rating = curved.strikes.find(({ link }) => link.strike === 'strike_rating')!.curvature!;
    expect(rating.turn.kind).toBe('highest');
    expect(rating.turn.interval![0]).toBeLessThan(8);
    expect(rating.turn.interval![1]).toBeGreaterThan(8);
    const straight = asked({ golfers: 40 }, 2);
    const offset = straight.strikes.find(({ link }) => link.strike === 'impact_offset_mm')!.curvature!;
    expect(offset.square.interval![0]).toBeLessThan(0);
    expect(offset.square.interval![1]).toBeGreaterThan(0);
  });

  it('find a slope that depends on how far a golfer usually turns', () => {
    const { moderations } = asked({ golfers: 120, swings: 15, moderation: 0.01 }, 4);
    const { usual } = moderations[0]!;
    expect(usual.interval![0]).toBeLessThan(0.01);
    expect(usual.interval![1]).toBeGreaterThan(0.01);
    expect(usual.interval![0]).toBeGreaterThan(0);
  });

  it('see a hidden cause as a link, and say how strong it must be', () => {
    // No arrow at all; something brings 2 deg to the elbow and 1.5 deg to the lean of the same swing.
    const { answer, unmeasured } = asked(
      { golfers: 60, a: 0, b: 0, direct: 0, hidden: { elbow: -2, lean: 1.5 } },
      6,
    );
    expect(answer.interval![0]).toBeGreaterThan(0);
    // The planted cause explains 4 / 15.25 of the elbow and 2.25 / 5.45 of the lean inside golfers; what would be enough is less
    // than the larger of the two.
    expect(unmeasured!.toZero).toBeLessThan(2.25 / 5.45);
    expect(unmeasured!.toZero).toBeGreaterThan(0.2);
  });
});

describe('a link between golfers only', () => {
  it('gives no claim inside golfers', () => {
    let [claims, contrasts] = [0, 0];
    for (let seed = 1; seed <= 60; seed++) {
      const swings = plantedSwings(
        { golfers: 25, a: 0, b: 0, direct: 0, between: -0.5, error: { elbow: 1.5 } },
        seed,
      );
      const answer = answerUnder(swings, CHOICE);
      if (answer.verdict === 'meaningful') claims += 1;
      if (answer.perStep!.interval![0] > 0 || answer.perStep!.interval![1] < 0) contrasts += 1;
    }
    expect(claims).toBeLessThanOrEqual(2);
    // About 1 in 20 intervals misses zero by chance.
    expect(contrasts).toBeLessThanOrEqual(8);
  });

  it.each(['between-only', 'confounded'])(
    'in the cohort %s is told apart from the golfer’s own swings',
    async (name) => {
      const loaded = await loadRecipe(name);
      if (!loaded.valid) throw new Error(name);
      const { tables } = generateCohort(loaded.recipe, 11);
      const checked = datasetFromRows(tables);
      if (!checked.valid) throw new Error('rows');
      const outcome = mechanism(checked.value);
      if (!outcome.ok) throw new Error('refused');
      const { finding } = outcome;
      expect(finding.verdict).not.toBe('meaningful');
      const between = finding.estimates.find(({ key }) => key === 'between-slope')!;
      expect(between.interval[0]).toBeGreaterThan(0);
      expect(finding.answer).toMatch(/comparing golfers with each other would have misled here/);
    },
  );
});

it.each(['mechanism-paths', 'errors-in-predictors'])(
  'the cohort %s gives back its stated slope',
  async (name) => {
    const loaded = await loadRecipe(name);
    if (!loaded.valid) throw new Error(name);
    const { tables, truth } = generateCohort(loaded.recipe, 5);
    const checked = datasetFromRows(tables);
    if (!checked.valid) throw new Error('rows');
    const outcome = mechanism(checked.value);
    if (!outcome.ok) throw new Error('refused');
    const planted = truth.mechanism!.associations.find(
      ({ predictor, outcome: to }) => predictor === ELBOW && to === LEAN,
    )!;
    const [low, high] = outcome.finding.estimates[0]!.interval;
    expect(low).toBeLessThan(-10 * planted.within);
    expect(high).toBeGreaterThan(-10 * planted.within);
  },
);

it('covers slope and indirect effect in a short calibration (the long one is in reports/)', () => {
  for (const row of calibrateMechanism(60, 21)) {
    if (row.quantity.includes('as measured')) continue;
    // 60 cohorts: four Monte Carlo standard errors below 95%.
    expect(row.covered).toBeGreaterThan(0.84);
    expect(Math.abs(row.bias)).toBeLessThan(4 * row.standardError + 0.02);
    if (row.truth === 0 && row.meaningful !== null) expect(row.meaningful).toBeLessThan(0.05);
  }
});

it('takes off the day, what is held, and other definitions, by choice', () => {
  const swings = plantedSwings({ golfers: 40, hidden: { elbow: 0, lean: 0 } }, 9);
  const asAsked = answerUnder(swings, CHOICE);
  for (const other of [
    { ...CHOICE, within: 'session' as const },
    { ...CHOICE, held: ['order' as const, 'pelvis-turn' as const] },
    { ...CHOICE, rule: 'not-the-first-two' as const },
    { ...CHOICE, rule: 'without-outliers' as const },
  ]) {
    const answer = answerUnder(swings, other);
    expect(answer.verdict).toBe('meaningful');
    expect(Math.abs(answer.perStep!.value - asAsked.perStep!.value)).toBeLessThan(0.6);
  }
  expect(answerUnder(swings, { ...CHOICE, predictor: 'elbow_extension_onset_ms' })).toMatchObject({
    perStep: null,
    verdict: 'cannot-tell',
    why: 'too few golfers with three swings each',
  });
});

it('gives the same numbers for the same seed, and a slope does not depend on it', () => {
  const swings = plantedSwings({ golfers: 12 }, 1);
  const columns = [ELBOW, RELEASE, LEAN];
  const once = () =>
    chainOf({
      frame: frameOf(swings, columns),
      columns,
      corrected: false,
      level: 0.95,
      draws: 200,
      stream: createStream(2),
    });
  expect(once()).toEqual(once());
  const slope = slopeUnder(swings, CHOICE, 0.95);
  expect(isSlope(slope)).toBe(true);
});
