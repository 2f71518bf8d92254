import { describe, expect, it } from 'vitest';
import {
  bodyProblems,
  SKILLED_BODY,
  SKILLED_TIMINGS,
  type SwingBody,
  simulateDownswing,
  timingProblems,
} from '../../../src/synthetic/mechanics/index.ts';

const wheres = (body: SwingBody): string[] => bodyProblems(body).map(({ where }) => where);

describe('bodyProblems', () => {
  it('has nothing to say of a body that can be', () => {
    expect(bodyProblems(SKILLED_BODY)).toEqual([]);
  });

  it('tells of all faults at once, each with its path, what was found, what was expected and a remedy', () => {
    const body: SwingBody = {
      ...SKILLED_BODY,
      club: { ...SKILLED_BODY.club, mass_kg: -0.4 },
      leadArm: { ...SKILLED_BODY.leadArm, length_m: Number.NaN },
      trailArm: { ...SKILLED_BODY.trailArm, upperArm_m: 0, handGap_m: Number.POSITIVE_INFINITY },
      limits: [{ joint: 5, angle_rad: -1, stiffness_Nm_rad2: -3, damping_s_rad: 0 }],
      planeInclination_deg: 120,
    };
    expect(wheres(body).sort()).toEqual(
      [
        'club.mass_kg',
        'leadArm.length_m',
        'trailArm.upperArm_m',
        'trailArm.handGap_m',
        'limits[0].joint',
        'limits[0].stiffness_Nm_rad2',
        'planeInclination_deg',
      ].sort(),
    );
    for (const problem of bodyProblems(body))
      for (const words of [problem.found, problem.expected, problem.remedy])
        expect(words.length).toBeGreaterThan(0);
  });

  it('refuses an inertia about the centre, given for the one about the near end', () => {
    // 0.42 kg at 0.66 m make 0.183 kg m2 by themselves.
    const body = { ...SKILLED_BODY, club: { ...SKILLED_BODY.club, inertia_kg_m2: 0.06 } };
    expect(bodyProblems(body)).toMatchObject([{ where: 'club.inertia_kg_m2', found: '0.06' }]);
    expect(bodyProblems(body)[0]!.expected).toMatch(/0\.1829/);
  });

  it('refuses arms that cannot hold the grip at the top', () => {
    const short = { ...SKILLED_BODY.trailArm, upperArm_m: 0.1, elbowToGrip_m: 0.1 };
    expect(bodyProblems({ ...SKILLED_BODY, trailArm: short })).toMatchObject([{ where: 'trailArm' }]);
    const uneven = { ...SKILLED_BODY.trailArm, upperArm_m: 0.1, elbowToGrip_m: 0.9 };
    expect(bodyProblems({ ...SKILLED_BODY, trailArm: uneven })).toMatchObject([{ where: 'trailArm' }]);
    expect(simulateDownswing({ ...SKILLED_BODY, trailArm: short }, SKILLED_TIMINGS)).toMatchObject({
      run: null,
      fault: { kind: 'impossible-body', problems: [{ where: 'trailArm' }] },
    });
  });

  it('tells of timings by joint and place', () => {
    const wrist = SKILLED_TIMINGS.wrist[0]!;
    const timings = { ...SKILLED_TIMINGS, wrist: [wrist, { ...wrist, onset_s: -1 }] };
    expect(timingProblems(timings)).toMatchObject([{ where: 'timings.wrist[1]' }]);
    expect(simulateDownswing(SKILLED_BODY, timings)).toMatchObject({ fault: { kind: 'impossible-timings' } });
  });
});
