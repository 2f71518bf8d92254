import type { InstantName } from '../../kinematics/index.ts';
import { club, dot, guide, line, type Point, ring, type Sketch } from './sketch.ts';

/** A golfer seen from the ball, target to the right; angles from straight down, positive toward the target. */
interface Pose {
  readonly leadArm_deg: number;
  readonly shaft_deg: number;
  /** Shoulder line toward the target: the share of its breadth that is seen, and the shift of hips and chest, m. */
  readonly breadth: number;
  readonly shift: number;
  readonly words: string;
}

const POSES: Readonly<Record<InstantName, Pose>> = {
  address: {
    leadArm_deg: -13,
    shaft_deg: -2,
    breadth: 1,
    shift: 0,
    words: 'club head behind the ball, still',
  },
  takeaway: {
    leadArm_deg: -19,
    shaft_deg: -16,
    breadth: 0.95,
    shift: 0,
    words: 'club head begins to move away from the target',
  },
  top: {
    leadArm_deg: -125,
    shaft_deg: -228,
    breadth: 0.35,
    shift: -0.02,
    words: 'hands above the trail shoulder, shaft above the head and turning round',
  },
  'lead arm parallel': {
    leadArm_deg: -90,
    shaft_deg: -185,
    breadth: 0.5,
    shift: 0.04,
    words: 'lead arm level with the ground, shaft pointing up',
  },
  delivery: {
    leadArm_deg: -33,
    shaft_deg: -90,
    breadth: 0.8,
    shift: 0.07,
    words: 'shaft level with the ground, pointing away from the target',
  },
  impact: {
    leadArm_deg: -4,
    shaft_deg: -8,
    breadth: 0.95,
    shift: 0.09,
    words: 'club head at the ball, grip ahead of it',
  },
  'full extension': {
    leadArm_deg: 32,
    shaft_deg: 36,
    breadth: 0.85,
    shift: 0.11,
    words: 'both arms straight, club past the ball toward the target',
  },
};

const [WIDTH, HEIGHT, SCALE] = [160, 186, 72];
const ARM = 0.58;
const UPPER_ARM = 0.31;
const FOREARM = 0.28;
const SHAFT = 0.8;
const RAD = Math.PI / 180;

const place = ([x, y]: Point): Point => [82 + SCALE * x, 172 - SCALE * y];
const down = ([x, y]: Point, length: number, angle_deg: number): Point => [
  x + length * Math.sin(angle_deg * RAD),
  y - length * Math.cos(angle_deg * RAD),
];

/** The elbow of an arm from shoulder to wrist, below the line between them; on it when the wrist is too far. */
function elbowOf(shoulder: Point, wrist: Point): Point {
  const [dx, dy] = [wrist[0] - shoulder[0], wrist[1] - shoulder[1]];
  const reach = Math.hypot(dx, dy);
  const along = (UPPER_ARM ** 2 - FOREARM ** 2 + reach ** 2) / (2 * reach);
  const out = Math.sqrt(Math.max(0, UPPER_ARM ** 2 - along ** 2));
  const [ux, uy] = [dx / reach, dy / reach];
  const side = ux > 0 ? -1 : 1;
  return [shoulder[0] + along * ux - side * out * uy, shoulder[1] + along * uy + side * out * ux];
}

/** A stick figure at an instant, of its own geometry and not of any golfer. */
export function golferSketch(name: InstantName): Sketch {
  const { leadArm_deg, shaft_deg, breadth, shift, words } = POSES[name];
  const chest: Point = [shift * 0.4 - 0.02, 1.4];
  const lead: Point = [chest[0] + 0.19 * breadth, 1.4];
  const trail: Point = [chest[0] - 0.19 * breadth, 1.37];
  const hips: Point = [shift, 0.92];
  const hands = down(lead, ARM, leadArm_deg);
  const head = down(hands, SHAFT, shaft_deg);
  const at = (points: readonly Point[], width = 3) => line(points.map(place), { width });
  const leg = (side: 1 | -1): string => {
    const hip: Point = [hips[0] + 0.1 * side, hips[1]];
    return at([hip, [side * 0.2 + shift * 0.6, 0.48], [side * 0.22, 0.02]]);
  };
  return {
    id: `instant-${name.replaceAll(' ', '-')}`,
    title: `A golfer at ${name}`,
    description: `Seen from the ball, the target to the right: ${words}.`,
    width: WIDTH,
    height: HEIGHT,
    marks: [
      guide([place([-0.85, 0]), place([0.95, 0])]),
      leg(1),
      leg(-1),
      at([
        [hips[0] - 0.1, hips[1]],
        [hips[0] + 0.1, hips[1]],
      ]),
      at([hips, chest]),
      at([trail, lead]),
      ring(place([chest[0] - 0.01, 1.63]), 9),
      at([trail, elbowOf(trail, hands), hands]),
      at([lead, hands]),
      dot(place(elbowOf(trail, hands)), 3.4, 'control'),
      club(place(hands), place(head)),
      ...(name === 'full extension' ? [] : [ring(place([0.02, 0.035]), 3)]),
    ],
  };
}
