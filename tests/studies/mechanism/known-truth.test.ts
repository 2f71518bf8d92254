import { describe, expect, it, vi } from 'vitest';
import { datasetFromRows } from '../../../src/dataset/index.ts';
import { createStream } from '../../../src/numerics/index.ts';
import { type Planted, plantedSwings } from '../../../src/studies/calibration/cases/planted-paths.ts';
import { chainOf } from '../../../src/studies/mechanism/analysis/chain.ts';
import { curvatureOf, isShown } from '../../../src/studies/mechanism/analysis/curvature.ts';
import { frameOf } from '../../../src/studies/mechanism/analysis/frame.ts';
import { mixedSlopes } from '../../../src/studies/mechanism/analysis/mixed-slopes.ts';
import { moderationBy } from '../../../src/studies/mechanism/analysis/moderation.ts';
import { isSlope, slopeUnder } from '../../../src/studies/mechanism/analysis/slope.ts';
import { unmeasuredOf } from '../../../src/studies/mechanism/analysis/unmeasured.ts';
import type { MechanismChoice } from '../../../src/studies/mechanism/input/choice.ts';
import { extractSwings } from '../../../src/studies/mechanism/input/swings.ts';
import { answerUnder } from '../../../src/studies/mechanism/mechanism-under.ts';
import { generateCohort, loadRecipe } from '../../../src/synthetic/index.ts';

// Cohorts are drawn and fitted by the dozen.
vi.setConfig({ testTimeout: 60_000 });

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

function slopeOf(planted: Planted, seed: number) {
  const slope = slopeUnder(plantedSwings(planted, seed), CHOICE, 0.95);
  if (!isSlope(slope)) throw new Error(slope.why);
  return slope;
}

function chainIn(planted: Planted, seed: number, corrected: boolean) {
  const columns = [ELBOW, RELEASE, LEAN];
  const frame = frameOf(plantedSwings(planted, seed), columns);
  return chainOf({ frame, columns, corrected, level: 0.95, draws: 499, stream: createStream(1) })!;
}

describe('planted paths', () => {
  const many = { golfers: 150, swings: 15, error: { elbow: 1.5, release: 2.5 } };

  it('are recovered: the slope inside golfers', () => {
    const { within, reliability } = slopeOf(many, 3);
    expect(Math.abs(within.value + 0.274)).toBeLessThan(3 * within.standardError);
    expect(within.standardError).toBeLessThan(0.018);
    // 3^2 + 1.5^2 of true variance from swing to swing and day to day, 1.5^2 of error.
    expect(reliability!.share).toBeCloseTo(11.25 / 13.5, 1);
  });

  it('are recovered: every arrow, and the way by the release', () => {
    const chain = chainIn(many, 3, true);
    const [a, direct, b] = chain.paths.map(({ estimate }) => estimate);
    for (const [path, truth] of [
      [a, 1.1],
      [b, -0.14],
      [direct, -0.12],
      [chain.routes[0]!.estimate, -0.154],
      [chain.total, -0.274],
    ] as const)
      expect(Math.abs(path!.value - truth)).toBeLessThan(3.5 * path!.standardError);
    expect(chain.failed).toBe(0);
  });

  it('are attenuated where the error is left alone, and are not where it is taken into account', () => {
    const noisy = { golfers: 150, swings: 15, error: { elbow: 3, release: 5 } };
    const { uncorrected, corrected } = slopeOf(noisy, 8);
    expect(uncorrected.interval![0]).toBeGreaterThan(-0.22);
    expect(corrected!.interval![0]).toBeLessThan(-0.274);
    expect(corrected!.interval![1]).toBeGreaterThan(-0.274);
    const [plain, mended] = [false, true].map((way) => chainIn(noisy, 8, way).routes[0]!.estimate.interval);
    expect(plain![0]).toBeGreaterThan(-0.13);
    expect(mended![0]).toBeLessThan(-0.154);
    expect(mended![1]).toBeGreaterThan(-0.154);
  });

  it('with slopes that vary apart have no covariance to add', () => {
    const { varying, routes } = chainIn({ golfers: 120, swings: 15, slopeSd: { a: 0.3, b: 0.04 } }, 5, false);
    expect(Math.abs(varying!.value - routes[0]!.estimate.value)).toBeLessThan(0.02);
    expect(varying!.interval[0]).toBeLessThan(-0.154);
    expect(varying!.interval[1]).toBeGreaterThan(-0.154);
  });

  it('find where more lean stops being better, and no turn where there is none', () => {
    const curved = plantedSwings({ golfers: 40, best: { lean: 8, loss: 0.03 } }, 2);
    const { turn } = curvatureOf(curved, 'strike_rating', LEAN, 0.95)!;
    expect(turn.kind).toBe('highest');
    expect(turn.interval![0]).toBeLessThan(8);
    expect(turn.interval![1]).toBeGreaterThan(8);
    const straight = curvatureOf(curved, 'impact_offset_mm', LEAN, 0.99)!;
    expect(straight.square.interval![0]).toBeLessThan(0);
    expect(straight.square.interval![1]).toBeGreaterThan(0);
    expect(isShown(straight)).toBe(false);
  });

  it('find a slope that depends on how far a golfer usually turns', () => {
    const swings = plantedSwings({ golfers: 80, moderation: 0.01 }, 4);
    const { usual } = moderationBy(
      swings,
      { predictor: ELBOW, outcome: LEAN, turn: 'pelvis_turn_impact_deg' },
      0.95,
    )!;
    expect(usual.interval![0]).toBeGreaterThan(0);
    expect(usual.interval![0]).toBeLessThan(0.01);
    expect(usual.interval![1]).toBeGreaterThan(0.01);
  });

  it('see a hidden cause as a link, and say how strong it must be', () => {
    // No arrow at all; something brings 2 deg to the elbow and 1.5 deg to the lean of the same swing.
    const slope = slopeOf({ golfers: 60, a: 0, b: 0, direct: 0, hidden: { elbow: -2, lean: 1.5 } }, 6);
    expect(slope.within.interval![1]).toBeLessThan(0);
    // The planted cause explains 4 / 15.25 of the elbow and 2.25 / 5.45 of the lean inside golfers.
    const { toZero } = unmeasuredOf(slope, null, [], -10)!;
    expect(toZero).toBeLessThan(2.25 / 5.45);
    expect(toZero).toBeGreaterThan(0.2);
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
      const { swings } = await cohort(name, 11);
      const slope = slopeUnder(swings, CHOICE, 0.95);
      if (!isSlope(slope)) throw new Error(slope.why);
      expect(answerUnder(swings, CHOICE).verdict).not.toBe('meaningful');
      const mixed = mixedSlopes({ frame: slope.frame, outcome: LEAN, predictors: [ELBOW], level: 0.95 })!;
      expect(mixed.between[ELBOW]!.interval![1]).toBeLessThan(-0.1);
    },
  );
});

async function cohort(name: string, seed: number) {
  const loaded = await loadRecipe(name);
  if (!loaded.valid) throw new Error(name);
  const { tables, truth } = generateCohort(loaded.recipe, seed);
  const checked = datasetFromRows(tables);
  if (!checked.valid) throw new Error('rows');
  return { swings: extractSwings(checked.value, null, [ELBOW, RELEASE, LEAN]).full, truth };
}

it.each(['mechanism-paths', 'errors-in-predictors'])(
  'the cohort %s gives back its stated slope',
  async (name) => {
    const { swings, truth } = await cohort(name, 5);
    const planted = truth.mechanism!.associations.find(
      ({ predictor, outcome }) => predictor === ELBOW && outcome === LEAN,
    )!;
    const answer = answerUnder(swings, CHOICE);
    expect(answer.verdict).toBe('meaningful');
    expect(answer.perStep!.interval![0]).toBeLessThan(-10 * planted.within);
    expect(answer.perStep!.interval![1]).toBeGreaterThan(-10 * planted.within);
  },
);

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
