import { describe, expect, it } from 'vitest';
import { createStream } from '../../src/numerics/index.ts';
import { MODELLED_METRICS } from '../../src/synthetic/model/modelled-metrics.ts';
import { deviations, ownVariances, pathModel } from '../../src/synthetic/model/path-model.ts';
import { arcLowPointCm, impulseSmashFactor, strikeBall } from '../../src/synthetic/model/strike.ts';
import { variance } from './summaries.ts';
import { variant } from './variant.ts';

describe('strike', () => {
  // Check values of the reference collection, e = 0.80, M = 0.255 kg, m = 0.04593 kg: (dynamic loft, attack angle).
  const impact = { restitution: 0.8, headMassKg: 0.255, ballMassKg: 0.04593 };
  it.each([
    [26, -4, 1.328],
    [22, -3.5, 1.382],
    [30, -3, 1.288],
    [32, -2, 1.274],
  ])('loft %d, attack %d: smash factor %d', (loft, attack, smash) => {
    expect(impulseSmashFactor(loft - attack, impact)).toBeCloseTo(smash, 3);
  });

  it('low point of an arc: -4 deg, 60 deg, 1.6 m is 0.1288 m ahead', () => {
    const arc = { arcRadiusM: 1.6, planeInclinationDeg: 60 };
    expect(arcLowPointCm(-4, arc)).toBeCloseTo(12.88, 2);
    expect(arcLowPointCm(4, arc)).toBeCloseTo(-12.88, 2);
    expect(arcLowPointCm(0, arc)).toBeCloseTo(0, 12);
  });

  it('too much lean is as bad as too little; a strike off the centre is slower and worse', async () => {
    const { strike } = await variant('drill-parallel-effect', {
      strike: { rating: { lossPerLeanDeg2: 0.05 } },
    });
    const chance = { lowPoint: 0, ground: -9, rater: 0 };
    const hit = (lean: number, offset: number) =>
      strikeBall(
        { shaftLeanDeg: lean, attackAngleDeg: -4, clubSpeedMps: 35, strikeOffsetMm: offset },
        strike,
        chance,
      );
    const best = strike.rating.bestLeanDeg;
    expect(hit(best, 0).rating).toBe(5);
    expect(hit(best + 6, 0).rating).toBe(hit(best - 6, 0).rating);
    expect(hit(best + 6, 0).rating).toBeLessThan(5);
    expect(hit(best, 15).ballSpeedMps).toBeLessThan(hit(best, 0).ballSpeedMps);
    expect(hit(best, -15).ballSpeedMps).toBe(hit(best, 15).ballSpeedMps);
    expect(hit(best, 15).rating).toBeLessThan(5);
    expect(hit(40, 40).rating).toBe(1);
  });
});

describe('paths', () => {
  it('totals: whatever the paths bring, each metric has the SD the recipe gives', async () => {
    const { metrics } = await variant('drill-parallel-effect');
    const model = pathModel(metrics);
    const stream = createStream(3, 'paths');
    const skill = 0.3;
    const own = ownVariances(model, metrics, 'golfer', skill);
    const draws = Array.from({ length: 20_000 }, () =>
      deviations(
        model,
        own.map((v) => Math.sqrt(v) * stream.normal()),
      ),
    );
    MODELLED_METRICS.forEach((metric, m) => {
      const { skilled, lessSkilled } = metrics[metric].golferSd;
      const total = lessSkilled + skill * (skilled - lessSkilled);
      const found = Math.sqrt(variance(draws.map((draw) => draw[m]!)));
      // Relative standard error of an SD from n draws: 1 / sqrt(2 n).
      expect(Math.abs(found / total - 1), metric).toBeLessThan(4 / Math.sqrt(40_000));
    });
  });

  it('a deviation is its own part plus the slopes times the deviations it depends on', async () => {
    const { metrics } = await variant('drill-parallel-effect');
    const model = pathModel(metrics);
    const stream = createStream(4, 'paths');
    const own = Float64Array.from(MODELLED_METRICS, () => stream.normal());
    const all = deviations(model, own);
    MODELLED_METRICS.forEach((metric, m) => {
      let expected = own[m]!;
      for (const [from, slope] of Object.entries(metrics[metric].paths ?? {}))
        expected += slope * all[MODELLED_METRICS.indexOf(from as (typeof MODELLED_METRICS)[number])]!;
      expect(all[m]).toBeCloseTo(expected, 10);
    });
  });
});
