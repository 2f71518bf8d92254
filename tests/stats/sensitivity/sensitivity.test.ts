import { describe, expect, it } from 'vitest';
import { createStream } from '../../../src/numerics/index.ts';
import {
  asStrongAs,
  clusterProducts,
  eValue,
  indirectParts,
  indirectUnder,
  partialR2,
  pooledProducts,
  recursivePaths,
  robustnessOfInterval,
  robustnessValue,
  standardisedEValue,
  withUnmeasured,
} from '../../../src/stats/index.ts';

describe('how strong an unmeasured cause must be', () => {
  // Cinelli and Hazlett 2020, J R Stat Soc B 82:39-67, section 5 (violence and attitudes to peace in Darfur), to the digits
  // printed in the tests of the authors' own package (read there): slope 0.09731582, standard error 0.02325654, 783 df.
  const darfur = { slope: 0.09731582, standardError: 0.02325654, degreesOfFreedom: 783 };
  const t = darfur.slope / darfur.standardError;

  it('gives the published partial R2 and robustness values', () => {
    expect(partialR2(t, 783)).toBeCloseTo(0.02187309, 6);
    expect(robustnessValue(partialR2(t, 783))).toBeCloseTo(0.1387764, 5);
    expect(robustnessOfInterval(t, 783)).toBeCloseTo(0.07625797, 5);
  });

  it('gives the published slope and error under a cause as strong as being female', () => {
    const once = withUnmeasured(darfur, { ofPredictor: 0.00916428667504862, ofOutcome: 0.12464092303637 });
    expect(once.slope).toBeCloseTo(0.0752202698486415, 8);
    expect(once.standardError).toBeCloseTo(0.0218733298036818, 8);
    const thrice = withUnmeasured(darfur, { ofPredictor: 0.0274928600251459, ofOutcome: 0.374050471038094 });
    expect(thrice.slope).toBeCloseTo(0.0303960178770157, 8);
    expect(thrice.standardError).toBeCloseTo(0.0186700665753491, 8);
  });

  it('bounds causes two and three times as strong as the published ones', () => {
    // What female explains of harm and of attitudes, from the published bound for one time.
    const ofPredictor = 0.00916428667504862 / (1 + 0.00916428667504862);
    const among = ofPredictor ** 2 / (1 - ofPredictor) ** 2;
    const eta = (1 + Math.sqrt(among)) / Math.sqrt(1 - among);
    const share = 0.12464092303637 / eta ** 2;
    const measured = { ofPredictor, ofOutcome: share / (1 + share) };
    for (const [times, predictor, outcome] of [
      [2, 0.0183285733500972, 0.249324064199975],
      [3, 0.0274928600251459, 0.374050471038094],
    ] as const) {
      const bound = asStrongAs(measured, times)!;
      expect(bound.ofPredictor).toBeCloseTo(predictor, 10);
      expect(bound.ofOutcome).toBeCloseTo(outcome, 10);
    }
    expect(asStrongAs({ ofPredictor: 0.6, ofOutcome: 0.1 }, 2)).toBeNull();
  });

  it('brings the slope to zero at the robustness value, and turns no sign', () => {
    const rv = robustnessValue(partialR2(t, 783));
    expect(withUnmeasured(darfur, { ofPredictor: rv, ofOutcome: rv }).slope).toBeCloseTo(0, 9);
    const negative = withUnmeasured(
      { ...darfur, slope: -darfur.slope },
      { ofPredictor: rv / 2, ofOutcome: rv / 2 },
    );
    expect(negative.slope).toBeLessThan(0);
    expect(robustnessValue(0)).toBe(0);
    expect(robustnessOfInterval(0.5, 100)).toBe(0);
  });

  it('gives the E-values of the paper', () => {
    // VanderWeele and Ding 2017, Ann Intern Med 167:268-274: 3.9 (1.8 to 8.7) gives 7.26 and 3.0; 0.80 (0.71 to 0.91) gives
    // 1.81 and 1.43 (from memory).
    expect(eValue(3.9)).toBeCloseTo(7.26, 2);
    expect(eValue(1.8)).toBeCloseTo(3.0, 2);
    expect(eValue(0.8)).toBeCloseTo(1.81, 2);
    expect(eValue(0.91)).toBeCloseTo(1.43, 2);
    expect(eValue(1)).toBe(1);
    const one = standardisedEValue(0.5, 0.1);
    expect(one.riskRatio).toBeCloseTo(Math.exp(0.455), 12);
    expect(one.interval).toBeCloseTo(eValue(Math.exp(0.91 * 0.5 - 1.7836 * 0.1)), 3);
    expect(standardisedEValue(-0.1, 0.1).interval).toBe(1);
  });

  it('leaves the product of slopes at correlation 0, and finds the truth at the true correlation', () => {
    // Planted: a 1, b 0.5, errors of carrier and outcome with correlation 0.4 (a cause of both).
    const stream = createStream(77);
    const n = 200_000;
    const [x, m, y] = [0, 0, 0].map(() => new Float64Array(n)) as [Float64Array, Float64Array, Float64Array];
    for (let i = 0; i < n; i++) {
      const [e, z] = [stream.normal(), stream.normal()];
      x[i] = stream.normal();
      m[i] = x[i]! + e;
      y[i] = 0.2 * x[i]! + 0.5 * m[i]! + 0.4 * e + Math.sqrt(1 - 0.16) * z;
    }
    const products = pooledProducts(clusterProducts(new Int32Array(n), [x, m, y]));
    const parts = indirectParts(products, n - 2)!;
    const slopes = recursivePaths(products, 3)!;
    expect(indirectUnder(0, parts)).toBeCloseTo(slopes[3]! * slopes[7]!, 10);
    expect(indirectUnder(0, parts)).toBeGreaterThan(0.85);
    expect(indirectUnder(0.4, parts)).toBeCloseTo(0.5, 1);
    expect(indirectUnder(parts.correlation, parts)).toBeCloseTo(0, 12);
    expect(indirectParts([0, 0, 0, 0, 1, 0, 0, 0, 1], 5)).toBeNull();
  });

  it('refuses what means nothing', () => {
    expect(() => eValue(0)).toThrow(/above zero/);
    expect(() => robustnessValue(1.2)).toThrow(/0..1/);
    expect(() => robustnessValue(0.1, 0)).toThrow(/share/);
    expect(() => partialR2(2, 0)).toThrow(/degrees/);
    expect(() => withUnmeasured(darfur, { ofPredictor: 1, ofOutcome: 0.1 })).toThrow(/below 1/);
    expect(() => indirectUnder(1, { a: 1, sdCarrier: 1, sdOutcome: 1, correlation: 0 })).toThrow(/rho/);
  });
});
