import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { type MotionProblem, solveMotion } from '../../../src/numerics/index.ts';
// Values of an order-8 method at tolerance 1e-13; script and versions beside the file.
import reference from '../../reference/mechanics/initial-value.json' with { type: 'json' };

const decay: MotionProblem = {
  rates: (_t, y, r) => {
    r[0] = -y[0]!;
  },
  start: Float64Array.of(1),
  from: 0,
  to: 3,
};
const circle = (frequency: number): MotionProblem['rates'] => {
  return (_t, y, r) => {
    r[0] = frequency * y[1]!;
    r[1] = -frequency * y[0]!;
  };
};
const tight = { relativeTolerance: 1e-12, absoluteTolerance: 1e-14 };

describe('solveMotion', () => {
  it('follows motions whose course is known in closed form', () => {
    expect(Math.abs(solveMotion({ ...decay, ...tight }).end[0]! - Math.exp(-3))).toBeLessThan(1e-13);
    const turned = solveMotion({ rates: circle(2), start: Float64Array.of(0, 1), from: 0, to: 10, ...tight });
    expect(Math.abs(turned.end[0]! - Math.sin(20))).toBeLessThan(2e-11);
    expect(Math.abs(turned.end[1]! - Math.cos(20))).toBeLessThan(2e-11);
  });

  it('has order 5: halving the step divides the error by 32', () => {
    const errorAt = (step: number): number => {
      const loose = { relativeTolerance: 1e3, absoluteTolerance: 1e3, largestStep: step };
      // Breaks on a grid make every step the same size.
      const breaks = Array.from({ length: Math.round(2 / step) - 1 }, (_, k) => (k + 1) * step);
      const end = solveMotion({
        rates: circle(1),
        start: Float64Array.of(0, 1),
        from: 0,
        to: 2,
        breaks,
        ...loose,
      });
      // The opening steps are smaller.
      expect(end.times.length - 1 - Math.round(2 / step)).toBeLessThan(6);
      return Math.hypot(end.end[0]! - Math.sin(2), end.end[1]! - Math.cos(2));
    };
    const orders = [0.0625, 0.03125].map((step) => Math.log2(errorAt(step) / errorAt(step / 2)));
    for (const order of orders) expect(Math.abs(order - 5)).toBeLessThan(0.15);
  });

  it('tightening the tolerance a thousandfold makes the error at least a hundred times smaller', () => {
    const errors = [1e-4, 1e-7, 1e-10].map((relativeTolerance) => {
      const end = solveMotion({
        rates: circle(1),
        start: Float64Array.of(0, 1),
        from: 0,
        to: 20,
        relativeTolerance,
        absoluteTolerance: relativeTolerance,
      }).end;
      return Math.hypot(end[0]! - Math.sin(20), end[1]! - Math.cos(20));
    });
    expect(errors[0]! / errors[1]!).toBeGreaterThan(100);
    expect(errors[1]! / errors[2]!).toBeGreaterThan(100);
  });

  it('reads the state anywhere between the steps, and refuses outside', () => {
    const motion = solveMotion({ ...decay, ...tight });
    const into = new Float64Array(1);
    for (let t = 0; t <= 3; t += 0.0371) {
      motion.at(t, into);
      expect(Math.abs(into[0]! - Math.exp(-t))).toBeLessThan(1e-10);
    }
    expect(() => motion.at(3.1, into)).toThrow(/outside the motion/);
  });

  it('agrees with an order-8 method on a relaxation oscillator, an orbit and a pendulum', () => {
    const { oscillator, orbit, pendulum } = reference;
    const into = new Float64Array(2);
    const swing = solveMotion({
      rates: (_t, y, r) => {
        r[0] = y[1]!;
        r[1] = 5 * (1 - y[0]! ** 2) * y[1]! - y[0]!;
      },
      start: Float64Array.of(2, 0),
      from: 0,
      to: 10,
      ...tight,
    });
    oscillator.times.forEach((time, k) => {
      swing.at(time, into);
      for (const j of [0, 1]) expect(Math.abs(into[j]! - oscillator.states[k]![j]!)).toBeLessThan(1e-8);
    });
    const m = 0.012277471;
    const three = solveMotion({
      rates: (_t, y, r) => {
        const [a, b, c, d] = [y[0]!, y[1]!, y[2]!, y[3]!];
        const near = ((a + m) ** 2 + b * b) ** 1.5;
        const far = ((a - 1 + m) ** 2 + b * b) ** 1.5;
        r[0] = c;
        r[1] = d;
        r[2] = a + 2 * d - ((1 - m) * (a + m)) / near - (m * (a - 1 + m)) / far;
        r[3] = b - 2 * c - ((1 - m) * b) / near - (m * b) / far;
      },
      start: Float64Array.of(0.994, 0, 0, -2.0015851063790824),
      from: 0,
      to: 8,
      relativeTolerance: 1e-13,
      absoluteTolerance: 1e-14,
    });
    // The close passage of the orbit multiplies errors by some thousands.
    for (const j of [0, 1]) expect(Math.abs(three.end[j]! - orbit.states[2]![j]!)).toBeLessThan(1e-6);
    const fall = solveMotion({
      rates: (_t, y, r) => {
        r[0] = y[1]!;
        r[1] = -9.81 * Math.sin(y[0]!);
      },
      start: Float64Array.of(2, 0),
      from: 0,
      to: 5,
      events: [{ name: 'bottom', value: (_t, y) => y[0]!, direction: -1, terminal: true }],
      ...tight,
    });
    expect(fall.endedBy).toBe('bottom');
    expect(Math.abs(fall.happenings[0]!.time - pendulum.bottom_s)).toBeLessThan(1e-12);
    expect(Math.abs(fall.happenings[0]!.state[1]! - pendulum.speed)).toBeLessThan(1e-11);
  });

  it('finds the time of an event to 1e-12 and ends there', () => {
    const fall: MotionProblem = {
      rates: (_t, y, r) => {
        r[0] = y[1]!;
        r[1] = -9.81;
      },
      start: Float64Array.of(1, 0),
      from: 0,
      to: 2,
      events: [{ name: 'ground', value: (_t, y) => y[0]!, direction: -1, terminal: true }],
    };
    const landed = solveMotion(fall);
    expect(Math.abs(landed.happenings[0]!.time - Math.sqrt(2 / 9.81))).toBeLessThan(1e-12);
    expect(landed.times.at(-1)).toBe(landed.happenings[0]!.time);
    const turning = solveMotion({
      rates: circle(1),
      start: Float64Array.of(0, 1),
      from: 0,
      to: 10,
      ...tight,
      events: [
        { name: 'up', value: (_t, y) => y[0]! - 0.5, direction: 1, terminal: false },
        { name: 'any', value: (_t, y) => y[1]!, direction: 0, terminal: false },
      ],
    });
    const times = (name: string): number[] =>
      turning.happenings.filter((h) => h.name === name).map((h) => h.time);
    const expected = [Math.PI / 6, Math.PI / 6 + 2 * Math.PI];
    expect(times('up').length).toBe(2);
    times('up').forEach((t, k) => {
      expect(Math.abs(t - expected[k]!)).toBeLessThan(2e-12);
    });
    expect(times('any').length).toBe(3);
    times('any').forEach((t, k) => {
      expect(Math.abs(t - (k + 0.5) * Math.PI)).toBeLessThan(4e-12);
    });
  });

  it('keeps its order where a force is switched: with a break on the jump the answer is exact', () => {
    // x'' = 1 until t = 0.3, then -2: polynomials, which order 5 follows without error.
    const switched = solveMotion({
      rates: (_t, y, r, piece) => {
        r[0] = y[1]!;
        r[1] = piece === 0 ? 1 : -2;
      },
      start: Float64Array.of(0, 0),
      from: 0,
      to: 1,
      breaks: [0.3],
    });
    expect(switched.end[0]!).toBeCloseTo(0.045 + 0.3 * 0.7 - 0.49, 14);
    expect(switched.times).toContain(0.3);
  });

  it('the same problem gives the same bits; a start is left as it was', () => {
    fc.assert(
      fc.property(
        fc.double({ min: -2, max: 2, noNaN: true }),
        fc.double({ min: 0.1, max: 4, noNaN: true }),
        (x, w) => {
          const start = Float64Array.of(x, 1);
          const run = (): Float64Array => solveMotion({ rates: circle(w), start, from: 0, to: 1 }).end;
          const [one, two] = [run(), run()];
          expect(one).toEqual(two);
          expect(start).toEqual(Float64Array.of(x, 1));
          expect(Math.abs(Math.hypot(one[0]!, one[1]!) - Math.hypot(x, 1))).toBeLessThan(1e-6);
        },
      ),
      { numRuns: 50 },
    );
  });

  it('says where a motion cannot be followed', () => {
    // y' = y^2 from 1 leaves every bound at t = 1.
    const burst = solveMotion({
      rates: (_t, y, r) => {
        r[0] = y[0]! ** 2;
      },
      start: Float64Array.of(1),
      from: 0,
      to: 2,
    });
    expect(burst.fault).not.toBeNull();
    expect(burst.fault!.time).toBeCloseTo(1, 3);
    expect(solveMotion({ ...decay, mostSteps: 3 }).fault?.kind).toBe('too-many-steps');
    const hole = solveMotion({
      ...decay,
      rates: (t, _y, r) => {
        r[0] = t < 1 ? 1 : Number.NaN;
      },
    });
    expect(hole.fault?.kind).toBe('not-finite');
    expect(hole.fault!.time).toBeCloseTo(1, 9);
    expect(Number.isFinite(hole.end[0]!)).toBe(true);
  });

  it.each([
    [{ to: 0 }, /not a span/],
    [{ start: Float64Array.of(Number.NaN) }, /finite/],
    [{ start: new Float64Array(0) }, /at least one element/],
    [{ breaks: [2, 1] }, /ascend/],
    [{ breaks: [3] }, /ascend/],
    [{ relativeTolerance: 0 }, /relativeTolerance/],
    [{ largestStep: -1 }, /largestStep/],
  ])('refuses %o', (wrong, message) => {
    expect(() => solveMotion({ ...decay, ...wrong })).toThrow(message);
  });
});
