import type { JointLimit, Segment } from './chain.ts';
import type { TrailArm } from './trail-elbow.ts';

/** A golfer as the model sees one: girdle, lead arm and club as a driven chain, the trail arm closing the loop. */
export interface SwingBody {
  /** Length is hub to lead shoulder. */
  readonly trunk: Segment;
  /** Length is lead shoulder to lead hand. */
  readonly leadArm: Segment;
  /** Length is lead hand to club head. */
  readonly club: Segment;
  readonly trailArm: TrailArm;
  /** The plane of the swing above the ground. */
  readonly planeInclination_deg: number;
  /** Of the ball ahead of the hub, toward the target, along the line where the plane meets the ground. */
  readonly ballAhead_m: number;
  /** Angles at the top from the downward line of the plane, negative away from the target. */
  readonly topTrunk_deg: number;
  readonly topLeadArm_deg: number;
  /** Lag at the top: angle between the lead arm and the shaft, 0 in line. */
  readonly topLag_deg: number;
  /** Ends of range: the lead arm against the chest, and the cock of the wrist. */
  readonly limits: readonly JointLimit[];
  /** Flexion at which the trail elbow counts as straight, where the run ends. */
  readonly straightElbow_deg: number;
}

const RAD = Math.PI / 180;
const GRAVITY_M_S2 = 9.80665;

export interface BodyProblem {
  readonly where: string;
  readonly found: string;
  readonly expected: string;
}

/** Gravity along the plane of the swing. */
export function gravityInPlane(body: SwingBody): number {
  return GRAVITY_M_S2 * Math.sin(body.planeInclination_deg * RAD);
}

/** Angles of trunk, lead arm and club at the top, in rad. */
export function topAngles(body: SwingBody): [number, number, number] {
  const lead = body.topLeadArm_deg * RAD;
  return [body.topTrunk_deg * RAD, lead, lead - body.topLag_deg * RAD];
}

/** Everything that keeps a body from being one, all at once; empty where nothing does. */
export function bodyProblems(body: SwingBody): BodyProblem[] {
  const problems: BodyProblem[] = [];
  const above = (where: string, value: number, least = 0): void => {
    if (!(value > least && Number.isFinite(value)))
      problems.push({ where, found: String(value), expected: `a number above ${least}` });
  };
  for (const name of ['trunk', 'leadArm', 'club'] as const) {
    const segment = body[name];
    for (const key of ['length_m', 'mass_kg', 'inertia_kg_m2'] as const)
      above(`${name}.${key}`, segment[key]);
    const least = segment.firstMoment_kg_m ** 2 / segment.mass_kg;
    if (!(segment.inertia_kg_m2 >= least))
      problems.push({
        where: `${name}.inertia_kg_m2`,
        found: String(segment.inertia_kg_m2),
        expected: `at least ${least}, which its mass and centre alone make`,
      });
  }
  for (const key of ['shoulderRadius_m', 'upperArm_m', 'elbowToGrip_m'] as const)
    above(`trailArm.${key}`, body.trailArm[key]);
  for (const key of ['topTrunk_deg', 'topLeadArm_deg', 'topLag_deg', 'ballAhead_m'] as const)
    if (!Number.isFinite(body[key]))
      problems.push({ where: key, found: String(body[key]), expected: 'a finite number' });
  if (!(body.planeInclination_deg > 0 && body.planeInclination_deg <= 90))
    problems.push({
      where: 'planeInclination_deg',
      found: String(body.planeInclination_deg),
      expected: 'above 0 and at most 90',
    });
  if (!(body.straightElbow_deg > 0 && body.straightElbow_deg < 90))
    problems.push({
      where: 'straightElbow_deg',
      found: String(body.straightElbow_deg),
      expected: 'above 0 and below 90',
    });
  return problems;
}
