import { type Matrix, transpose } from '../geometry/frames.ts';
import type { Vector } from '../geometry/vector.ts';
import type { IsbElbow, IsbElbowPoints } from './isb-elbow.ts';
import type { AngleStep } from './step.ts';
import type { ThreePointElbow, ThreePoints } from './three-point-elbow.ts';

const WU = 'Wu et al. 2005';
const GROOD = 'Grood and Suntay 1983';
const COMMON = 'common practice, no source';

const point = (symbol: string, name: string, value: Vector): AngleStep => ({
  heading: 'The points as measured',
  symbol,
  name,
  equation: '',
  value,
  unit: 'length',
  source: '',
});

/** The three-point elbow as a list of steps, each with its equation; nothing is worked out here. */
export function threePointSteps({ shoulder, elbow, wrist }: ThreePoints, of: ThreePointElbow): AngleStep[] {
  const heading = 'The two segments';
  const between = 'The angle between them';
  return [
    point('S', 'shoulder', shoulder),
    point('E', 'elbow', elbow),
    point('W', 'wrist', wrist),
    step(heading, 'u', 'upper arm', 'u = E - S', of.upperArm, 'length', COMMON),
    step(heading, 'v', 'forearm', 'v = W - E', of.forearm, 'length', COMMON),
    step(between, 'a', 'across', 'a = |u x v|', of.across, 'area', COMMON),
    step(between, 'b', 'along', 'b = u . v', of.along, 'area', COMMON),
    {
      ...step(
        between,
        'flexion',
        'flexion (180 minus the included angle)',
        'flexion = atan2(a, b)',
        of.flexion_deg,
        'deg',
        COMMON,
      ),
      numbers: `atan2(${of.across.toPrecision(6)}, ${of.along.toPrecision(6)})`,
    },
  ];
}

/** The ISB elbow as a list of steps, each with its equation and source; nothing is worked out here. */
export function isbElbowSteps(points: IsbElbowPoints, of: IsbElbow): AngleStep[] {
  const { relative: r } = of;
  const turn = 'Z-X-Y sequence: R = Rz(flexion) Rx(carrying) Ry(pronation)';
  const angle = (name: string, equation: string, numbers: string, value: number): AngleStep => ({
    ...step(turn, name, name, equation, value, 'deg', `${WU}, 2.4.7; ${GROOD}`),
    numbers,
  });
  const six = (value: number): string => value.toFixed(6);
  return [
    point('S', 'shoulder', points.shoulder),
    point('L', 'lateral epicondyle', points.lateral_epicondyle),
    point('M', 'medial epicondyle', points.medial_epicondyle),
    point('A', 'radial styloid', points.radial_styloid),
    point('U', 'ulnar styloid', points.ulnar_styloid),
    step('Elbow centre', 'E', 'elbow centre', 'E = (L + M) / 2', of.elbow, 'length', `${WU}, 2.3.4`),
    ...axes('humerus', 'h', ['S - E', 'L - M'], of.humerus, `${WU}, 2.3.4`),
    ...axes('forearm', 'f', ['E - U', 'A - U'], of.forearm, `${WU}, 2.3.6`),
    step(
      'The forearm as the humerus sees it',
      'R',
      'rotation matrix',
      'R = H^T F, the columns of H and F being the axes x, y, z',
      r,
      'none',
      GROOD,
    ),
    angle(
      'flexion',
      'flexion = atan2(-R12, R22)',
      `atan2(${six(-r[0][1])}, ${six(r[1][1])})`,
      of.flexion_deg,
    ),
    angle('carrying', 'carrying = asin(R32)', `asin(${six(r[2][1])})`, of.carrying_deg),
    angle(
      'pronation',
      'pronation = atan2(-R31, R33)',
      `atan2(${six(-r[2][0])}, ${six(r[2][2])})`,
      of.pronation_deg,
    ),
  ];
}

/** The three axes of a segment in the order in which they are built: y along the segment, then x, then z. */
function axes(
  segment: string,
  mark: string,
  [long, across]: readonly [string, string],
  frame: Matrix,
  source: string,
): AngleStep[] {
  const [x, y, z] = transpose(frame);
  const axis = (letter: string, equation: string, value: Vector): AngleStep =>
    step(
      `Axes of the ${segment}`,
      `${letter}${mark}`,
      `${letter} axis of the ${segment}`,
      equation,
      value,
      'direction',
      source,
    );
  const [xm, ym, zm] = [`x${mark}`, `y${mark}`, `z${mark}`];
  return [
    axis('y', `${ym} = (${long}) / |${long}|`, y),
    axis('x', `${xm} = ${ym} x (${across}), made of length one`, x),
    axis('z', `${zm} = ${xm} x ${ym}`, z),
  ];
}

function step(
  heading: string,
  symbol: string,
  name: string,
  equation: string,
  value: AngleStep['value'],
  unit: AngleStep['unit'],
  source: string,
): AngleStep {
  return { heading, symbol, name, equation, value, unit, source };
}
