import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  butterworthLowPass,
  cubicSpline,
  difference,
  evaluateSpline,
  filterTwoPass,
  localPolynomialWeights,
  splineDerivative,
  splineWeights,
  twoPassDesignCutoff,
} from '../../src/numerics/index.ts';

const here = new URL('../reference/filter/', import.meta.url);
const reference = JSON.parse(readFileSync(new URL('filter_reference.json', here), 'utf8'));
const [head, ...rows] = readFileSync(new URL('butter_filtfilt_240Hz.csv', here), 'utf8')
  .trim()
  .split(/\r?\n/);
const names = head!.split(',');
const column = (name: string): Float64Array =>
  Float64Array.from(rows, (row) => Number(row.split(',')[names.indexOf(name)]));

// Source of every expected value here: scipy 1.17.1, tests/reference/filter/README.md.
describe('Butterworth low-pass against scipy', () => {
  const designs = Object.entries<{ b?: number[]; a?: number[]; design_fc_hz?: number }>(reference).flatMap(
    ([key, entry]) => {
      const stated = /fs([\d.]+)_fc([\d.]+)/.exec(key);
      return stated && entry.b && entry.a
        ? [{ key, rate: Number(stated[1]), cutoff: entry.design_fc_hz ?? Number(stated[2]), ...entry }]
        : [];
    },
  );

  it('has designs to check', () => expect(designs.length).toBeGreaterThan(40));

  it.each(designs)('$key', ({ rate, cutoff, a, b }) => {
    const filter = butterworthLowPass(cutoff, rate);
    for (let i = 0; i < 3; i++) {
      expect(filter.b[i]).toBeCloseTo(b![i]!, 12);
      expect(filter.a[i]).toBeCloseTo(a![i]!, 12);
    }
  });

  it.each([6, 10, 20])('corrects the cut-off for two passes exactly at %d Hz', (cutoff) => {
    const entry = reference[`fs240_fc${cutoff}_exact_corrected`];
    expect(twoPassDesignCutoff(cutoff, 240)).toBeCloseTo(entry.design_fc_hz, 10);
  });

  const outputs = names.flatMap((name) => {
    const parts = /^fc(\d+)_(nominal|winter_corrected|exact_corrected)_pad(\d+)$/.exec(name);
    return parts ? [{ name, key: `fs240_fc${parts[1]}_${parts[2]}`, pad: Number(parts[3]) }] : [];
  });

  it.each(outputs)('two passes: $name within 1e-9', ({ name, key, pad }) => {
    const { a, b } = reference[key];
    const out = filterTwoPass(column('noisy'), { a, b }, pad);
    const expected = column(name);
    let worst = 0;
    for (let i = 0; i < out.length; i++) worst = Math.max(worst, Math.abs(out[i]! - expected[i]!));
    expect(out.length).toBe(expected.length);
    expect(worst).toBeLessThan(1e-9);
  });

  it('refuses a cut-off at or above half the sampling rate', () => {
    expect(() => butterworthLowPass(60, 120)).toThrow(/butterworthLowPass.*60 Hz/);
    expect(() => butterworthLowPass(0, 120)).toThrow(RangeError);
  });
});

describe('two passes of a filter', () => {
  it('leave a constant, and with a long pad a straight line and both ends, as they are', () => {
    const filter = butterworthLowPass(12, 240);
    fc.assert(
      fc.property(
        fc.double({ min: -5, max: 5, noNaN: true }),
        fc.double({ min: -5, max: 5, noNaN: true }),
        (p, q) => {
          const constant = filterTwoPass(new Float64Array(30).fill(p), filter, 9);
          for (const value of constant) expect(value).toBeCloseTo(p, 10);
          const line = Float64Array.from({ length: 200 }, (_, i) => p + q * i);
          const out = filterTwoPass(line, filter, 150);
          for (let i = 0; i < 200; i++)
            expect(Math.abs(out[i]! - line[i]!)).toBeLessThan(1e-9 * (1 + Math.abs(q) * 350));
        },
      ),
    );
  });

  it('give a signal run backwards the same result backwards, so there is no lag', () => {
    const filter = butterworthLowPass(10, 240);
    const noisy = column('noisy').slice(0, 300);
    const forwards = filterTwoPass(noisy, filter, 150);
    const backwards = filterTwoPass(noisy.slice().reverse(), filter, 150).reverse();
    for (let i = 20; i < 280; i++) expect(backwards[i]).toBeCloseTo(forwards[i]!, 3);
  });

  it('return a signal too short to filter as it came', () => {
    expect([...filterTwoPass(Float64Array.of(1, 2), butterworthLowPass(10, 240), 9)]).toEqual([1, 2]);
  });
});

describe('cubic spline', () => {
  const cubic = (t: number): number => 2 - t + 3 * t * t - 0.5 * t ** 3;
  it('reproduces any cubic and its derivatives on uneven knots', () => {
    const knots = Float64Array.of(0, 0.5, 2, 3, 3.25, 5);
    const spline = cubicSpline(knots, knots.map(cubic));
    for (let t = -0.5; t <= 5.5; t += 0.1) {
      expect(evaluateSpline(spline, t)).toBeCloseTo(cubic(t), 10);
      expect(evaluateSpline(spline, t, 1)).toBeCloseTo(-1 + 6 * t - 1.5 * t * t, 9);
      expect(evaluateSpline(spline, t, 2)).toBeCloseTo(6 - 3 * t, 8);
    }
  });

  it('agrees with scipy.interpolate.CubicSpline (not-a-knot), scipy 1.17.1', () => {
    // CubicSpline([0,1,2.5,3,4.5,6], [1,-1,2,0.5,3,-2])([0.25,1.7,2.75,5.5])
    const spline = cubicSpline(Float64Array.of(0, 1, 2.5, 3, 4.5, 6), Float64Array.of(1, -1, 2, 0.5, 3, -2));
    const expected = [-0.5245703125000001, 1.1390599999999997, 1.2651953125, 2.291782407407408];
    [0.25, 1.7, 2.75, 5.5].forEach((t, i) => {
      expect(evaluateSpline(spline, t)).toBeCloseTo(expected[i]!, 12);
    });
  });

  it('takes two points as a line and three as a parabola', () => {
    const line = cubicSpline(Float64Array.of(1, 3), Float64Array.of(2, 8));
    expect(evaluateSpline(line, 2)).toBeCloseTo(5, 12);
    const parabola = cubicSpline(Float64Array.of(0, 1, 3), Float64Array.of(0, 1, 9));
    expect(evaluateSpline(parabola, 2)).toBeCloseTo(4, 12);
  });

  it('refuses knots that do not increase', () => {
    expect(() => cubicSpline(Float64Array.of(0, 0), Float64Array.of(1, 2))).toThrow(/increase/);
    expect(() => cubicSpline(Float64Array.of(0), Float64Array.of(1))).toThrow(/two/);
  });

  // scipy 1.17.1, CubicSpline(numpy.arange(8), x), with its default not-a-knot ends.
  const X = [0, 0.3, 1.1, 0.9, -0.4, -1.3, 0.2, 2];

  it('has the derivatives of the reference implementation at its knots', () => {
    const expected = [
      -0.5464912280701761, 0.848245614035088, 0.4535087719298244, -0.862280701754386, -1.504385964912281,
      0.27982456140350903, 2.1850877192982447, 0.8798245614035101,
    ];
    splineDerivative(Float64Array.from(X), 240).forEach((v, i) => {
      expect(v).toBeCloseTo(240 * expected[i]!, 10);
    });
    expect([...splineDerivative(Float64Array.of(3), 240)]).toEqual([Number.NaN]);
    expect([...splineDerivative(Float64Array.of(3, 5), 10)]).toEqual([20, 20]);
  });

  it.each([
    [2.3, 1.1777894736842105, 0.06429824561403523, -1.3052631578947367],
    [-0.4, 0.4208421052631584, -1.6054385964912299, 3.0052631578947397],
    [7.5, 2.0092105263157904, -0.976754385964909, -4.515789473684206],
  ])('is read at %f by weights of its values', (at, ...expected) => {
    const weights = splineWeights([0, 1, 2, 3, 4, 5, 6, 7], at);
    [weights.value, weights.slope, weights.second].forEach((w, order) => {
      expect(X.reduce((sum, x, i) => sum + x * w[i]!, 0)).toBeCloseTo(expected[order]!, 11);
    });
  });
});

describe('differences', () => {
  it('are exact for a quartic, ends included', () => {
    const rate = 50;
    const f = (t: number): number => 1 + t - 2 * t ** 2 + t ** 3 - 0.3 * t ** 4;
    const slope = (t: number): number => 1 - 4 * t + 3 * t ** 2 - 1.2 * t ** 3;
    const x = Float64Array.from({ length: 12 }, (_, i) => f(i / rate));
    const d = difference(x, rate);
    d.forEach((value, i) => {
      expect(value).toBeCloseTo(slope(i / rate), 9);
    });
  });

  it('fall back on what fits for a short signal', () => {
    expect([...difference(Float64Array.of(0, 2, 4), 10)]).toEqual([20, 20, 20]);
    expect(difference(Float64Array.of(3), 10)[0]).toBeNaN();
  });
});

describe('local polynomial', () => {
  it('gives the published smoothing weights of five points and a parabola', () => {
    // Savitzky and Golay (1964): (-3, 12, 17, 12, -3) / 35 for the value, (-2, -1, 0, 1, 2) / 10 for the slope.
    const { value, slope } = localPolynomialWeights([-2, -1, 0, 1, 2], 2, 0);
    [-3, 12, 17, 12, -3].forEach((w, i) => {
      expect(value[i]).toBeCloseTo(w / 35, 13);
    });
    [-2, -1, 0, 1, 2].forEach((w, i) => {
      expect(slope[i]).toBeCloseTo(w / 10, 13);
    });
  });

  it('reproduces a polynomial of its degree anywhere, on uneven times', () => {
    fc.assert(
      fc.property(
        fc.array(fc.integer({ min: 1, max: 9 }), { minLength: 5, maxLength: 12 }),
        fc.double({ min: -3, max: 20, noNaN: true }),
        (gaps, at) => {
          let now = 0;
          const times = gaps.map((gap) => {
            now += gap / 4;
            return now;
          });
          const f = (t: number): number => 1 - 2 * t + 0.5 * t * t - 0.1 * t ** 3;
          const slopeOf = (t: number): number => -2 + t - 0.3 * t * t;
          const { value, slope } = localPolynomialWeights(times, 3, at);
          const read = times.reduce((sum, t, i) => sum + value[i]! * f(t), 0);
          const rate = times.reduce((sum, t, i) => sum + slope[i]! * f(t), 0);
          const size = times.reduce((sum, t, i) => sum + Math.abs(value[i]! * f(t)), 1);
          const steep = times.reduce((sum, t, i) => sum + Math.abs(slope[i]! * f(t)), 1);
          expect(Math.abs(read - f(at))).toBeLessThan(1e-9 * size);
          expect(Math.abs(rate - slopeOf(at))).toBeLessThan(1e-9 * steep);
        },
      ),
    );
  });

  it('refuses fewer samples than the degree needs', () => {
    expect(() => localPolynomialWeights([0, 1, 2], 3, 0)).toThrow(/at least 4/);
  });
});
