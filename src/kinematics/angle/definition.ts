import { norm, subtract, type Vector } from '../geometry/vector.ts';
import { type IsbElbowPoints, isbElbow } from './isb-elbow.ts';
import type { AngleStep } from './step.ts';
import { isbElbowSteps, threePointSteps } from './steps.ts';
import { type ThreePoints, threePointElbow } from './three-point-elbow.ts';

/** The roles that each definition needs. */
export const ANGLE_ROLES = {
  'three-point-elbow': ['shoulder', 'elbow', 'wrist'],
  'isb-elbow': ['shoulder', 'lateral_epicondyle', 'medial_epicondyle', 'radial_styloid', 'ulnar_styloid'],
} as const;

/** The name of a definition of a joint angle. */
export type AngleDefinition = keyof typeof ANGLE_ROLES;

/** Points by role. */
export type ArmPoints = Readonly<Record<string, Vector>>;

/** One row of points through a definition: its angles, and every step on the way to them. */
export interface WorkedAngle {
  /** Degrees, under the names that the series has. */
  readonly angles: Readonly<Record<string, number>>;
  /** The flexion among them, deg: what says how near to straight the elbow is. */
  readonly flexion_deg: number;
  /** Upper arm and forearm, in the unit of the points. */
  readonly lengths: { readonly upperArm: number; readonly forearm: number };
  readonly steps: () => readonly AngleStep[];
}

/** Works a definition through on the points of one row. Angles are NaN where the points fix none. */
export function workAngle(definition: AngleDefinition, points: ArmPoints): WorkedAngle {
  if (definition === 'three-point-elbow') {
    const three = points as unknown as ThreePoints;
    const elbow = threePointElbow(three);
    return {
      angles: { angle_deg: elbow.flexion_deg },
      flexion_deg: elbow.flexion_deg,
      lengths: { upperArm: norm(elbow.upperArm), forearm: norm(elbow.forearm) },
      steps: () => threePointSteps(three, elbow),
    };
  }
  const five = points as unknown as IsbElbowPoints;
  const elbow = isbElbow(five);
  const { flexion_deg, carrying_deg, pronation_deg } = elbow;
  return {
    angles: { flexion_deg, carrying_deg, pronation_deg },
    flexion_deg,
    lengths: {
      upperArm: norm(subtract(five.shoulder, elbow.elbow)),
      forearm: norm(subtract(elbow.elbow, five.ulnar_styloid)),
    },
    steps: () => isbElbowSteps(five, elbow),
  };
}
