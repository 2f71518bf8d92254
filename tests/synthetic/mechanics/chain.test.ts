import { describe, expect, it } from 'vitest';
import { solveMotion } from '../../../src/numerics/index.ts';
import {
  createChain,
  IRON_PENDULUM,
  JORGENSEN_PENDULUM,
  pendulumRates,
  type Segment,
} from '../../../src/synthetic/mechanics/index.ts';
// Lagrange's equations formed by differentiation with 60 digits; script and version beside the file.
import reference from '../../reference/mechanics/chain.json' with { type: 'json' };

const ARM: Segment = { length_m: 0.62, mass_kg: 7.3, firstMoment_kg_m: 7.3 * 0.31, inertia_kg_m2: 1.15 };
const CLUB: Segment = { length_m: 0.9, mass_kg: 0.42, firstMoment_kg_m: 0.42 * 0.66, inertia_kg_m2: 0.245 };
const TRUNK: Segment = { length_m: 0.18, mass_kg: 20, firstMoment_kg_m: 0, inertia_kg_m2: 1.3 };

describe('the chain', () => {
  it('has the accelerations of an independent derivation', () => {
    const chain = createChain(
      reference.segments.map((s) => ({
        length_m: s.L,
        mass_kg: s.m,
        firstMoment_kg_m: s.m * s.c,
        inertia_kg_m2: s.I,
      })),
      reference.gravity,
    );
    const rates = new Float64Array(7);
    expect(reference.cases.length).toBe(6);
    for (const { angles, speeds, torques, accelerations } of reference.cases) {
      chain.rates(Float64Array.of(...angles, ...speeds, 0), Float64Array.from(torques), 0, rates);
      const size = Math.max(...accelerations.map(Math.abs));
      accelerations.forEach((expected, i) => {
        expect(Math.abs(rates[3 + i]! - expected) / size).toBeLessThan(1e-12);
        expect(rates[i]).toBe(speeds[i]);
      });
    }
  });

  it('with the trunk held still is the double pendulum of Jorgensen', () => {
    // psi of arm and club are -theta and -phi; what turns the club forward lessens beta.
    const chain = createChain([TRUNK, ARM, CLUB], 8.5);
    const pendulum = { ...IRON_PENDULUM, gravity_m_s2: 8.5 };
    const gamma = 2.3;
    const [chainRates, rates] = [new Float64Array(7), new Float64Array(5)];
    for (const [alpha, speed, cock, cockSpeed, hub, wrist] of [
      [0, 0, 1.57, 0, 100, 0],
      [1.1, 9, 1.2, -4, 80, -12],
      [2.6, 14, 0.4, -22, 30, 6],
    ] as const) {
      const arm = alpha - gamma;
      const state = Float64Array.of(-0.2, arm, arm - cock, 0, speed, speed - cockSpeed, 0);
      chain.rates(state, Float64Array.of(55, hub, -wrist), 1, chainRates);
      pendulumRates(
        pendulum,
        gamma,
        Float64Array.of(alpha, speed, cock, cockSpeed, 0),
        hub,
        wrist,
        false,
        rates,
      );
      expect(chainRates[3]).toBe(0);
      expect(chainRates[4]! / rates[1]!).toBeCloseTo(1, 11);
      expect((chainRates[4]! - chainRates[5]!) / rates[3]!).toBeCloseTo(1, 11);
      expect(chainRates[6]!).toBeCloseTo(rates[4]!, 9);
    }
  });

  it('keeps its energy to 1e-9 with the torques off, over two seconds of tumbling', () => {
    const chain = createChain([TRUNK, ARM, CLUB], 9.80665);
    const still = new Float64Array(3);
    const start = Float64Array.of(2.5, -2, 1, 3, -6, 10, 0);
    const motion = solveMotion({
      start,
      from: 0,
      to: 2,
      relativeTolerance: 1e-12,
      absoluteTolerance: 1e-13,
      rates: (_time, state, rates) => chain.rates(state, still, 0, rates),
    });
    const total = chain.kinetic(start) + chain.potential(start);
    const drift = chain.kinetic(motion.end) + chain.potential(motion.end) - total;
    expect(motion.fault).toBeNull();
    expect(chain.kinetic(start)).toBeGreaterThan(20);
    expect(Math.abs(drift) / chain.kinetic(start)).toBeLessThan(1e-9);
    expect(motion.end[6]).toBe(0);
  });

  it('pushes back at the end of a range, never pulls, and books the loss as work', () => {
    const limit = { joint: 1, angle_rad: -1, stiffness_Nm_rad2: 500, damping_s_rad: 0.5 };
    const free = createChain([TRUNK, ARM, CLUB], 0);
    const limited = createChain([TRUNK, ARM, CLUB], 0, [limit]);
    const [a, b] = [new Float64Array(7), new Float64Array(7)];
    const compare = (lead: number, speed: number): number => {
      const state = Float64Array.of(0, lead, lead, 0, speed, speed, 0);
      free.rates(state, new Float64Array(3), 0, a);
      limited.rates(state, new Float64Array(3), 0, b);
      return b[4]! - a[4]!;
    };
    expect(compare(-0.9, -5)).toBe(0);
    expect(compare(-1.2, 0)).toBeGreaterThan(0);
    expect(compare(-1.2, -2)).toBeGreaterThan(compare(-1.2, 0));
    // Springing out faster than the tissue follows: no pull.
    expect(compare(-1.2, 3)).toBe(0);
    const start = Float64Array.of(0, -0.8, -0.8, 0, -4, -4, 0);
    const motion = solveMotion({
      start,
      from: 0,
      to: 1,
      relativeTolerance: 1e-11,
      absoluteTolerance: 1e-13,
      rates: (_time, state, rates) => limited.rates(state, new Float64Array(3), 0, rates),
    });
    const lost = limited.kinetic(start) - limited.kinetic(motion.end);
    expect(lost).toBeGreaterThan(0);
    expect(Math.abs(lost + motion.end[6]!) / limited.kinetic(start)).toBeLessThan(1e-8);
  });

  it('refuses an inertia that mass and centre do not allow, such as that of the published club', () => {
    const { clubLength_m, clubMass_kg, clubFirstMoment_kg_m, clubInertia_kg_m2 } = JORGENSEN_PENDULUM;
    const club = {
      length_m: clubLength_m,
      mass_kg: clubMass_kg,
      firstMoment_kg_m: clubFirstMoment_kg_m,
      inertia_kg_m2: clubInertia_kg_m2,
    };
    expect(() => createChain([ARM, club], 9.8)).toThrow(/inertia about the centre/);
    expect(() => createChain([{ ...ARM, length_m: 0 }], 9.8)).toThrow(/above 0/);
  });
});
