import { type BodyProblem, type SwingBody, topAngles } from './swing-body.ts';
import { trailElbow } from './trail-elbow.ts';

const SI = 'Give lengths in m, masses in kg and inertias in kg m2 about the near end.';

/**
 * Everything that keeps a body from being one, all at once; empty where nothing does. A trail arm that cannot hold the grip at the
 * top is told of only when its parts are right by themselves.
 *
 * @example bodyProblems({ ...SKILLED_BODY, planeInclination_deg: 120 })[0]!.where // 'planeInclination_deg'
 */
export function bodyProblems(body: SwingBody): BodyProblem[] {
  const problems = [...segmentProblems(body), ...armProblems(body), ...postureProblems(body)];
  return problems.length > 0 ? problems : loopProblems(body);
}

function segmentProblems(body: SwingBody): BodyProblem[] {
  return (['trunk', 'leadArm', 'club'] as const).flatMap((name) => {
    const segment = body[name];
    const least = segment.firstMoment_kg_m ** 2 / segment.mass_kg;
    return [
      ...(['length_m', 'mass_kg', 'inertia_kg_m2'] as const).flatMap((key) =>
        above(`${name}.${key}`, segment[key], SI),
      ),
      ...within(`${name}.firstMoment_kg_m`, segment.firstMoment_kg_m, -1e3, 1e3, SI),
      // Written so that what is not a number is refused too, but told of once.
      ...(segment.inertia_kg_m2 > 0 && segment.mass_kg > 0 && segment.inertia_kg_m2 < least
        ? [
            {
              where: `${name}.inertia_kg_m2`,
              found: String(segment.inertia_kg_m2),
              expected: `at least ${least}, which its mass and centre alone make`,
              remedy: 'Give the inertia about the near end of the segment, not about its centre.',
            },
          ]
        : []),
    ];
  });
}

function armProblems({ trailArm: arm, limits }: SwingBody): BodyProblem[] {
  const metres = 'Give lengths in m.';
  const give = arm.give;
  return [
    ...(['shoulderRadius_m', 'upperArm_m', 'elbowToGrip_m'] as const).flatMap((key) =>
      above(`trailArm.${key}`, arm[key], metres),
    ),
    ...within('trailArm.shoulderAngle_rad', arm.shoulderAngle_rad, 0, 2 * Math.PI, 'Give the angle in rad.'),
    ...within('trailArm.shoulderOffset_m', arm.shoulderOffset_m, -1, 1, metres),
    ...within('trailArm.handGap_m', arm.handGap_m, -1, 1, metres),
    ...(give === undefined
      ? []
      : [
          ...within('trailArm.give.share', give.share, 0, 0.9, 'Give a share, such as 0.15.'),
          ...within('trailArm.give.rest_m', give.rest_m, 0, 2, metres),
          ...above('trailArm.give.softness_m', give.softness_m, metres),
          ...above('trailArm.give.most_m', give.most_m, metres),
        ]),
    ...limits.flatMap((limit, k) => [
      ...within(
        `limits[${k}].joint`,
        limit.joint,
        0,
        2,
        'Give 0 for the trunk, 1 for the shoulder, 2 for the wrist.',
      ),
      ...within(`limits[${k}].angle_rad`, limit.angle_rad, -10, 10, 'Give the angle in rad.'),
      ...within(
        `limits[${k}].stiffness_Nm_rad2`,
        limit.stiffness_Nm_rad2,
        0,
        1e6,
        'A joint pushes back: 0 or more.',
      ),
      ...within(
        `limits[${k}].damping_s_rad`,
        limit.damping_s_rad,
        0,
        1e3,
        'A joint takes energy: 0 or more.',
      ),
    ]),
  ];
}

function postureProblems(body: SwingBody): BodyProblem[] {
  const degrees =
    'Give angles in degrees from the downward line of the plane, negative away from the target.';
  return [
    ...(['topTrunk_deg', 'topLeadArm_deg', 'topLag_deg'] as const).flatMap((key) =>
      within(key, body[key], -360, 360, degrees),
    ),
    ...within('ballAhead_m', body.ballAhead_m, -2, 2, 'Give how far ahead of the hub the ball lies, in m.'),
    ...(body.planeInclination_deg > 0
      ? within(
          'planeInclination_deg',
          body.planeInclination_deg,
          0,
          90,
          'Give the slope above the ground in degrees.',
        )
      : above(
          'planeInclination_deg',
          body.planeInclination_deg,
          'Give the slope above the ground in degrees.',
        )),
    ...within('straightElbow_deg', body.straightElbow_deg, 1, 90, 'Give a small bend in degrees, such as 8.'),
  ];
}

function loopProblems(body: SwingBody): BodyProblem[] {
  const top = trailElbow(body.trunk.length_m, body.leadArm.length_m, body.trailArm, topAngles(body));
  if (top.fault === null) return [];
  const short = top.fault === 'trail-hand-out-of-reach';
  return [
    {
      where: 'trailArm',
      found: `a trail hand ${top.distance_m} m from its shoulder at the top`,
      expected: `${short ? 'at most' : 'at least'} ${top.limit_m} m, which the arm can span`,
      remedy: short
        ? 'Lengthen trailArm.upperArm_m or trailArm.elbowToGrip_m, or lessen the turn of the trunk at the top.'
        : 'Bring trailArm.upperArm_m and trailArm.elbowToGrip_m nearer to one another.',
    },
  ];
}

function above(where: string, value: number, remedy: string): BodyProblem[] {
  if (value > 0 && Number.isFinite(value)) return [];
  return [{ where, found: String(value), expected: 'a number above 0', remedy }];
}

function within(where: string, value: number, least: number, most: number, remedy: string): BodyProblem[] {
  if (value >= least && value <= most) return [];
  return [{ where, found: String(value), expected: `a number from ${least} to ${most}`, remedy }];
}
