import { describe, expect, it } from 'vitest';
import { createStream } from '../../../src/numerics/index.ts';
import { prePostVarianceFactor, prepareModel, valueSums } from '../../../src/stats/index.ts';
import { fitCellModel } from '../../../src/studies/drill-trial/analysis/cell-model.ts';
import { chanceOf, chanceOfSeeing, detectableEffect } from '../../../src/studies/plan/chances.ts';
import { type DesignDraws, drawDesign } from '../../../src/studies/plan/draw-design.ts';
import { type DesignPoint, drawableDesign, type Spread } from '../../../src/studies/plan/planned-design.ts';

const KR = { level: 0.95, degreesOfFreedom: 'kenward-roger' } as const;
const POINT: DesignPoint = {
  kind: 'parallel',
  golfers: 40,
  sessions: 1,
  swings: 6,
  controlShare: 0.5,
  leaving: 0,
};

const settledOf = ({ error, half }: DesignDraws) =>
  [...error].map((e, k) => ({ e, h: half[k]! })).filter(({ h }) => !Number.isNaN(h));
const varianceOf = (values: readonly number[]) => values.reduce((sum, v) => sum + v * v, 0) / values.length;

describe('simulated power against the closed form', () => {
  // Noncentral t with 126 df and noncentrality 0.5 sqrt(64 / 2), two-sided 5%: 0.80146
  // (Cohen 1988, table 2.4; recomputed in the literature table of this project). After only, with as many swings for
  // each golfer, the mixed model is the t test of golfers' means: SD 1 = root of golfer 0.9 + swing 0.4 / 4.
  it('is .80146 for 64 golfers in each group at half an SD', async () => {
    const spread: Spread = {
      golferSd: Math.sqrt(0.9),
      changeSd: 0,
      responseSd: 0,
      sessionSd: 0,
      swingSd: Math.sqrt(0.4),
    };
    const draws = 10_000;
    const point = { ...POINT, kind: 'after-only', golfers: 128, swings: 4 } as const;
    const drawn = await drawDesign(point, spread, KR, { draws, seed: 5, workers: 1 });
    expect(drawn.failed).toBe(0);
    const error = Math.sqrt((0.80146 * 0.19854) / draws);
    expect(Math.abs(chanceOfSeeing(drawn, 0.5).value - 0.80146)).toBeLessThan(3 * error);
    const none = chanceOfSeeing(drawn, 0).value;
    expect(Math.abs(none - 0.05)).toBeLessThan(3 * Math.sqrt((0.05 * 0.95) / draws));
  }, 60_000);

  // Frison and Pocock 1992, Stat Med 11:1685-1704, as computed in the literature table: (1,1,.5) = .75, (1,1,.7) = .51,
  // (1,1,.8) = .36, in units of 2 sigma^2 / n. The mixed model pays a little more, for the slope it estimates:
  // 1 + 1 / (N - 3) (Cochran 1957, Biometrics 13:261-281, for a balanced covariate).
  it.each([
    [0.5, 0.75],
    [0.7, 0.51],
    [0.8, 0.36],
  ])(
    'has the pre/post variance factor, correlation %f',
    async (correlation, factor) => {
      expect(prePostVarianceFactor(1, 1, correlation)).toBeCloseTo(factor, 12);
      // Golfer's level rho; what is left of 1 is the day with its six swings.
      const spread: Spread = {
        golferSd: Math.sqrt(correlation),
        changeSd: 0,
        responseSd: 0,
        sessionSd: Math.sqrt((1 - correlation) / 2),
        swingSd: Math.sqrt(3 * (1 - correlation)),
      };
      const draws = 3000;
      const point = { ...POINT, golfers: 160 };
      const drawn = await drawDesign(point, spread, KR, { draws, seed: 11, workers: 1 });
      const expected = factor * (2 / 80) * (1 + 1 / (160 - 3));
      const ratio = varianceOf(settledOf(drawn).map(({ e }) => e)) / expected;
      expect(Math.abs(ratio - 1)).toBeLessThan(3 * Math.sqrt(2 / draws));
    },
    60_000,
  );

  it('keeps its level with few golfers, by Kenward and Roger', async () => {
    const spread: Spread = { golferSd: 4, changeSd: 1, responseSd: 1, sessionSd: 1, swingSd: 2 };
    for (const kind of ['parallel', 'before-after', 'crossover'] as const) {
      const drawn = await drawDesign({ ...POINT, kind, golfers: 12 }, spread, KR, {
        draws: 2000,
        seed: 3,
        workers: 1,
      });
      const cover = settledOf(drawn).filter(({ e, h }) => Math.abs(e) < h).length / 2000;
      expect(cover, kind).toBeGreaterThan(0.935);
      expect(cover, kind).toBeLessThan(0.968);
    }
  }, 60_000);
});

describe('drawing the sums instead of the swings', () => {
  const spread: Spread = { golferSd: 3, changeSd: 0.8, responseSd: 0.6, sessionSd: 0.9, swingSd: 2 };

  it('gives the estimates that a simulation swing by swing gives', async () => {
    const point = { ...POINT, golfers: 20, leaving: 0.1 };
    const draws = 1500;
    const drawn = await drawDesign(point, spread, KR, { draws, seed: 21, workers: 1 });
    const full = swingBySwing(point, spread, 700);
    const byError = kolmogorov(
      settledOf(drawn).map(({ e }) => e),
      full.map(({ e }) => e),
    );
    const byHalf = kolmogorov(
      settledOf(drawn).map(({ h }) => h),
      full.map(({ h }) => h),
    );
    // Two samples from one law differ by more than 1.95 sqrt(1/m + 1/n) once in a thousand (Smirnov 1948).
    const limit = 1.95 * Math.sqrt(1 / draws + 1 / full.length);
    expect(byError).toBeLessThan(limit);
    expect(byHalf).toBeLessThan(limit);
    // And it would be noticed if they did not: a change SD of twice the size.
    const other = await drawDesign(point, { ...spread, changeSd: 2 }, KR, { draws, seed: 21, workers: 1 });
    expect(
      kolmogorov(
        settledOf(other).map(({ h }) => h),
        full.map(({ h }) => h),
      ),
    ).toBeGreaterThan(limit);
  }, 60_000);

  it('shifts by the true effect and changes nothing else', () => {
    const { model, data, term } = drawableDesign(POINT, spread, KR);
    const made = prepareModel(model, data);
    if (!made.ok) throw new Error('no model');
    const rows = data.golfer_id!.length;
    const stream = createStream(4);
    const y = Float64Array.from({ length: rows }, () => stream.normal());
    const shifted = Float64Array.from(y, (v, k) => v + 2.5 * Number(data[term]![k]));
    const [plain, moved] = [made.prepared.fit(y), made.prepared.fit(shifted)];
    if (!plain.ok || !moved.ok) throw new Error('no fit');
    const of = (fit: typeof plain) => fit.fit.result.fixed.find((row) => row.term === term)!;
    expect(of(moved).estimate - of(plain).estimate).toBeCloseTo(2.5, 6);
    expect(of(moved).standardError).toBeCloseTo(of(plain).standardError, 6);
    expect(of(moved).degreesOfFreedom).toBeCloseTo(of(plain).degreesOfFreedom!, 3);
  });

  it('is the same for any number of threads', async () => {
    const one = await drawDesign(POINT, spread, KR, { draws: 60, seed: 9, workers: 1 });
    const two = await drawDesign(POINT, spread, KR, { draws: 60, seed: 9, workers: 2 });
    expect(two).toEqual(one);
  }, 60_000);
});

/** Swings drawn one by one, from golfer, change, day and swing, and fitted by the drill trial's own code. */
function swingBySwing(point: DesignPoint, spread: Spread, studies: number): { e: number; h: number }[] {
  const { data } = drawableDesign(point, spread, KR);
  const golfers = data.golfer_id as string[];
  const sessions = data.session_id as string[];
  const post = data.post as number[];
  const share = 0.5;
  return Array.from({ length: studies }, (_, study) => {
    const stream = createStream(77, study);
    const draw = (ids: readonly string[], sd: number) =>
      new Map([...new Set(ids)].map((id) => [id, sd * stream.normal()]));
    const level = draw(golfers, spread.golferSd);
    const change = draw(golfers, Math.sqrt(spread.changeSd ** 2 + share * spread.responseSd ** 2));
    const day = draw(sessions, spread.sessionSd);
    const rows = golfers.map((golfer, k) => ({
      golfer,
      session: sessions[k]!,
      arm: golfer.split(' ')[0]!,
      cell: post[k] === 1 ? 'post' : 'baseline',
      ...valueSums([
        level.get(golfer)! +
          post[k]! * change.get(golfer)! +
          day.get(sessions[k]!)! +
          spread.swingSd * stream.normal(),
      ]),
    }));
    const fitted = fitCellModel({
      outcome: 'value',
      rows,
      cellOf: ({ cell }) => cell,
      cells: ['baseline', 'post'],
      effects: [{ arm: 'drill', cell: 'post' }],
      sessions: false,
      ...KR,
    });
    if (typeof fitted === 'string') throw new Error(fitted);
    const { value, interval } = fitted.effect('drill', 'post');
    return { e: value!, h: (interval![1] - interval![0]) / 2 };
  });
}

/** The largest distance between two empirical distribution functions. */
function kolmogorov(a: readonly number[], b: readonly number[]): number {
  const [x, y] = [[...a].sort((p, q) => p - q), [...b].sort((p, q) => p - q)];
  let most = 0;
  for (let i = 0, j = 0; i < x.length && j < y.length; ) {
    if (x[i]! <= y[j]!) i++;
    else j++;
    most = Math.max(most, Math.abs(i / x.length - j / y.length));
  }
  return most;
}

describe('chances', () => {
  const drawn: DesignDraws = {
    point: POINT,
    error: Float64Array.of(-1, 0, 1, Number.NaN),
    half: Float64Array.of(1, 1, 1, Number.NaN),
    failed: 1,
    singular: 0,
  };
  const smallest = { value: 1, goodDirection: 1 } as const;

  it('count verdicts, and failed fits as studies without an answer', () => {
    expect(chanceOf(drawn, 2, smallest, ['meaningful']).value).toBe(2 / 4);
    expect(chanceOf(drawn, 3, smallest, ['meaningful']).value).toBe(3 / 4);
    expect(chanceOf(drawn, 100, smallest, ['meaningful']).value).toBe(3 / 4);
    expect(chanceOf(drawn, 0, { ...smallest, value: 1.5 }, ['too-small-to-matter']).value).toBe(1 / 4);
    expect(chanceOf(drawn, -3, smallest, ['opposite']).value).toBe(3 / 4);
    expect(chanceOf(drawn, -3, { value: 1, goodDirection: -1 }, ['meaningful']).value).toBe(3 / 4);
    expect(chanceOfSeeing(drawn, 2.5).value).toBe(3 / 4);
  });

  it('have the interval of Wilson', () => {
    // Wilson 1927; 81 of 263 gives .2553 to .3662 (Newcombe 1998, Stat Med 17:857-872, table I; from memory).
    const error = new Float64Array(263).map((_, k) => (k < 81 ? 10 : 0));
    const { interval } = chanceOf(
      { ...drawn, error, half: new Float64Array(263).fill(1), failed: 0 },
      0,
      smallest,
      ['meaningful'],
    );
    expect(interval[0]).toBeCloseTo(0.2553, 4);
    expect(interval[1]).toBeCloseTo(0.3662, 4);
    const all = { ...drawn, error: Float64Array.of(5, 5), half: Float64Array.of(1, 1), failed: 0 };
    expect(chanceOf(all, 0, smallest, ['meaningful']).interval[1]).toBe(1);
    expect(chanceOf(all, 0, smallest, ['opposite']).interval[0]).toBe(0);
  });

  it('give the detectable effect as a quantile, none where too many fits failed', () => {
    // Needed: 1 + 1 - error = 3, 2, 1, never.
    expect(detectableEffect(drawn, 0.5, 1, 1)).toBeNull();
    const more = {
      ...drawn,
      error: Float64Array.from({ length: 1000 }, (_, k) => k / 1000),
      half: new Float64Array(1000).fill(1),
      failed: 0,
    };
    expect(detectableEffect(more, 0.8, 1, 1)?.value).toBeCloseTo(2 - 0.2, 9);
    expect(detectableEffect(more, 0.8, 1, -1)?.value).toBeCloseTo(2 + 0.799, 9);
  });
});
