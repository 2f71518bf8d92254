import { type Axis, checkLayout, type Layout } from '../../kinematics/index.ts';
import { BALL, MARKERS, type Point, RIGID_SEGMENTS } from './place-landmarks.ts';

/** Where a capture system has its axes, and in what unit it counts. */
export interface Lab {
  readonly up: Axis;
  /** Direction of the target from the first of the two axes along the ground, in turn from it about `up`. */
  readonly heading_deg: number;
  /** The system's origin, in the lab with X to the target, Y up, and the ball at 0, 0 on the ground (m). */
  readonly origin_m: readonly [number, number, number];
  readonly unit: Layout['lengthUnit'];
}

/** Z up, X to the target, millimetres, the origin a little behind the ball: as many systems are set up. */
export const PLAIN_LAB: Lab = { up: '+Z', heading_deg: 0, origin_m: [-0.4, 0, -0.9], unit: 'mm' };

const PER_METRE = { m: 1, cm: 100, mm: 1000, in: 1 / 0.0254 } as const;
/** Channels of two fixed markers on the ground that give the target line where it is none of the axes. */
export const LINE_CHANNELS = ['LINE_BACK', 'LINE_FRONT'] as const;
const LINE_ENDS: readonly Point[] = [
  [-0.6, 0.01, 0.5],
  [0.9, 0.01, 0.5],
];

/** A point of the lab in the axes and unit of the system; for a left-hander the lab is mirrored first. */
export function toSystem(
  lab: Lab,
  plays: 'right' | 'left',
): (x: number, y: number, z: number, into: Float64Array, at: number) => void {
  const [x, y, z] = labAxes(lab);
  const unit = PER_METRE[lab.unit];
  const [ox, oy, oz] = lab.origin_m;
  const mirror = plays === 'left' ? -1 : 1;
  return (px, py, pz, into, at) => {
    const [a, b, c] = [px - ox, py - oy, mirror * pz - oz];
    for (let k = 0; k < 3; k++) into[at + k] = unit * (a * x[k]! + b * y[k]! + c * z[k]!);
  };
}

/** Directions of the lab's X, Y and Z in the system's axes. */
function labAxes({ up, heading_deg }: Lab): readonly [Point, Point, Point] {
  const axis = 'XYZ'.indexOf(up[1]!);
  const sign = up[0] === '+' ? 1 : -1;
  const y: Point = [0, 0, 0];
  y[axis] = sign;
  const first: Point = [0, 0, 0];
  first[(axis + 1) % 3] = 1;
  const second = cross(y, first);
  const heading = (heading_deg * Math.PI) / 180;
  const x = [0, 1, 2].map((k) => Math.cos(heading) * first[k]! + Math.sin(heading) * second[k]!) as Point;
  return [x, y, cross(x, y)];
}

/** The channel of a marker: by the side of the body, so that channels are the same for both hands. */
export function channelOf(marker: string, plays: 'right' | 'left'): string {
  const [lead, trail] = plays === 'right' ? ['L', 'R'] : ['R', 'L'];
  const short = marker.replace(/^lead_/, `${lead}_`).replace(/^trail_/, `${trail}_`);
  return short.toUpperCase();
}

/** Whether the target line needs markers of its own. */
export function hasLineMarkers({ heading_deg }: Lab): boolean {
  return heading_deg % 90 !== 0;
}

/** The two ends of the target line, in the lab (m). */
export function lineEnds(): readonly Point[] {
  return LINE_ENDS;
}

/**
 * The layout of every capture that one lab takes of golfers who play from one side.
 *
 * @param noise_mm what is stated as the noise of a marker; left out where there is none
 * @throws Error where the lab makes a layout that no reader of layouts takes
 * @example
 * // The ball lies 0.4 m before the origin, 0.9 m to the right of the target line through it, its radius 21.335 mm
 * layoutOf(PLAIN_LAB, 'right', 0).ball // [400, -900, 21.335]
 */
export function layoutOf(lab: Lab, plays: 'right' | 'left', noise_mm: number): Layout {
  const ball = new Float64Array(3);
  toSystem(lab, plays)(...BALL, ball, 0);
  const layout: Layout = {
    note: 'Simulated captures: nobody was measured, and what is true of each stands in the truth file beside it.',
    lengthUnit: lab.unit,
    up: lab.up,
    targetLine: hasLineMarkers(lab)
      ? { from: LINE_CHANNELS[0], to: LINE_CHANNELS[1], at: 'whole capture' }
      : { axis: headingAxis(lab) },
    plays,
    ball: [...ball].map((v) => Number(v.toFixed(6))) as [number, number, number],
    ...(noise_mm > 0 ? { markerNoise_mm: noise_mm } : {}),
    landmarks: Object.fromEntries(MARKERS.map((marker) => [marker, channelOf(marker, plays)])),
    rigidSegments: RIGID_SEGMENTS,
  };
  const checked = checkLayout(layout);
  if (!checked.ok)
    throw new Error(`layoutOf: ${checked.problems.map((p) => `${p.where}: ${p.found}`).join('; ')}`);
  return layout;
}

function headingAxis(lab: Lab): Axis {
  const [x] = labAxes(lab);
  const k = x.findIndex((v) => Math.abs(v) > 0.5);
  return `${x[k]! > 0 ? '+' : '-'}${'XYZ'[k]}` as Axis;
}

function cross(a: Point, b: Point): Point {
  return [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]];
}
