import { leanInTargetPlane } from '../../kinematics/index.ts';
import { arc, area, club, dot, guide, line, type Point, polar, ring, type Sketch, word } from './sketch.ts';

const RAD = Math.PI / 180;
type Space = readonly [number, number, number];

/** A view from the far side of the ball, from above and a little behind: X right, Y up, Z toward the reader. */
const view =
  (origin: Point, scale: number) =>
  ([x, y, z]: Space): Point => [origin[0] + scale * (x - 0.42 * z), origin[1] - scale * (y - 0.36 * z)];

/** A point of the plane that holds the target line, rises by `tilt_deg` and leans away from the ball. */
const inPlane = (along: number, up: number, tilt_deg: number): Space => [
  along,
  up * Math.sin(tilt_deg * RAD),
  -up * Math.cos(tilt_deg * RAD),
];

const onTarget = ([x, y]: Space): Space => [x, y, 0];

/** Lag in the plane: forearm out of the plane and its shadow in it. */
export function lagPlaneSketch(): Sketch {
  const tilt = 55;
  const at = view([176, 186], 100);
  const corners = [
    inPlane(-1.25, 0, tilt),
    inPlane(1.05, 0, tilt),
    inPlane(1.05, 1.5, tilt),
    inPlane(-1.25, 1.5, tilt),
  ];
  const grip = inPlane(-0.15, 0.55, tilt);
  const shadow = inPlane(-0.62, 1.18, tilt);
  const normal: Space = [0, Math.cos(tilt * RAD), Math.sin(tilt * RAD)];
  const elbow = shadow.map((c, k) => c + 0.7 * normal[k]!) as unknown as Space;
  const onward = inPlane(-0.15 + 0.3, 0.55 - 0.402, tilt);
  const head = inPlane(-0.95, 0.32, tilt);
  const [g, o, h] = [at(grip), at(onward), at(head)];
  const bearing = (p: Point) => Math.atan2(g[1] - p[1], p[0] - g[0]) / RAD;
  return {
    width: 328,
    height: 220,
    id: 'drawing-lag-plane',
    title: 'Lag angle in the swing plane',
    description:
      'A tilted plane with the shaft in it. The forearm stands out of the plane; its shadow on the plane, dropped square, and the shaft make the projected lag angle, which is not the angle in space.',
    marks: [
      area(corners.map(at), 'zone'),
      line([...corners, corners[0]!].map(at), { ink: 'soft', width: 1.2 }),
      guide([at(elbow), at(shadow)]),
      line([at(shadow), g], { ink: 'soft', width: 2.4 }),
      guide([g, o]),
      line([at(elbow), g]),
      club(g, h),
      arc(g, 34, bearing(o), bearing(h) < bearing(o) ? bearing(h) : bearing(h) - 360),
      dot(at(elbow)),
      dot(g),
      word('lead elbow', [at(elbow)[0] - 8, at(elbow)[1] - 16], { at: 'middle' }),
      word('its shadow', [at(shadow)[0] + 12, at(shadow)[1] + 16], { ink: 'soft' }),
      word('lag in plane', [g[0] + 22, g[1] + 20], { ink: 'control', bold: true }),
      word('club head', [h[0] - 8, h[1] + 22], { at: 'middle' }),
      word('swing plane', at(inPlane(0.08, 1.36, tilt)), { ink: 'soft' }),
    ],
  };
}

/** Lean as it is seen square to the target line. */
export function leanSketch(): Sketch {
  const lean = 14;
  const head: Point = [130, 182];
  const grip = polar(head, 140, 90 - lean);
  return {
    width: 328,
    height: 220,
    id: 'drawing-lean',
    title: 'Shaft lean at impact, in the target plane',
    description:
      'Seen from the ball, the target to the right. The angle from the vertical over the club head to the shaft; positive when the grip is nearer the target than the head.',
    marks: [
      guide([
        [40, 190],
        [290, 190],
      ]),
      line(
        [
          [210, 206],
          [290, 206],
        ],
        { ink: 'soft', width: 1.6, arrow: true },
      ),
      word('target', [204, 210], { at: 'end', ink: 'soft' }),
      guide([head, [head[0], 26]]),
      club(grip, head),
      dot(grip),
      ring([head[0] + 13, 183], 7),
      arc(head, 118, 90, 90 - lean + 2),
      word('grip', [grip[0] + 10, grip[1] + 2]),
      word('lean, + grip ahead', [head[0] + 44, 88], { ink: 'control', bold: true }),
      word('vertical', [head[0] - 8, 38], { at: 'end', ink: 'soft' }),
      word('club head', [head[0] - 14, 178], { at: 'end' }),
    ],
  };
}

const PLANE_LEAN = 7;
const TILT = 60;

/** One shaft, two leans: within the tilted plane, and its shadow on the vertical plane of the target line. */
export function leanPlaneSketch(): Sketch {
  const at = view([96, 180], 112);
  // Drawn at 25 degrees, because 7 could not be told from 8.
  const drawn = 25;
  const up = 1.35;
  const shaft = inPlane(up * Math.tan(drawn * RAD), up, TILT);
  const steepest = inPlane(0, up, TILT);
  const corner = (x: number, y: number): Space => [x, y, 0];
  const head: Space = [0, 0, 0];
  const target = leanInTargetPlane(PLANE_LEAN, TILT).toFixed(2);
  const h = at(head);
  const bearing = (p: Point) => Math.atan2(h[1] - p[1], p[0] - h[0]) / RAD;
  return {
    width: 328,
    height: 236,
    id: 'drawing-lean-plane',
    title: 'Shaft lean in the swing plane and in the target plane',
    description: `A plane tilted ${TILT} degrees meets the vertical plane in the target line. The shaft lies in the tilted plane; its shadow on the vertical plane leans more: ${PLANE_LEAN} degrees become ${target}.`,
    marks: [
      area([corner(-0.55, 0), corner(1.5, 0), corner(1.5, 1.3), corner(-0.55, 1.3)].map(at), 'raised'),
      line(
        [corner(-0.55, 0), corner(1.5, 0), corner(1.5, 1.3), corner(-0.55, 1.3), corner(-0.55, 0)].map(at),
        { ink: 'rule', width: 1.4 },
      ),
      line(
        [
          inPlane(-0.55, 0, TILT),
          inPlane(1.5, 0, TILT),
          inPlane(1.5, 1.5, TILT),
          inPlane(-0.55, 1.5, TILT),
          inPlane(-0.55, 0, TILT),
        ].map(at),
        { ink: 'soft', width: 1.2 },
      ),
      guide([h, at(steepest)]),
      guide([h, at(onTarget(steepest))]),
      guide([at(shaft), at(onTarget(shaft))]),
      line([h, at(onTarget(shaft))], { ink: 'third', width: 2.2 }),
      club(at(shaft), h),
      arc(h, 104, bearing(at(steepest)), bearing(at(shaft)) + 2),
      arc(h, 70, 90, bearing(at(onTarget(shaft))) + 2, { ink: 'third' }),
      word('shaft', [at(shaft)[0] + 6, at(shaft)[1] - 5]),
      word('target line', [at(corner(0.8, 0))[0], 196], { ink: 'soft' }),
      word(`in the swing plane ${PLANE_LEAN}°`, [8, 214], { ink: 'control', bold: true }),
      word(`in the target plane ${target}°`, [8, 231], { ink: 'third', bold: true }),
      word('(drawn larger)', [200, 231], { ink: 'soft' }),
    ],
  };
}

/** The line across hips or shoulders from above. */
export function turnSketch(): Sketch {
  const centre: Point = [150, 100];
  const turn = 38;
  const [lead, trail] = [polar(centre, 72, turn), polar(centre, -72, turn)];
  return {
    width: 328,
    height: 220,
    id: 'drawing-turn',
    title: 'Pelvis and thorax turn, from above',
    description:
      'Seen from above, the target to the right and the ball toward the bottom. The angle from the target direction to the line from the trail side to the lead side; positive when the lead side has gone away from the ball, so that the body is open to the target.',
    marks: [
      guide([
        [40, centre[1]],
        [290, centre[1]],
      ]),
      line(
        [
          [220, 200],
          [290, 200],
        ],
        { ink: 'soft', width: 1.6, arrow: true },
      ),
      word('target', [214, 204], { at: 'end', ink: 'soft' }),
      line([trail, lead], { width: 6 }),
      dot(lead, 7),
      dot(trail, 7),
      ring(centre, 11),
      ring([150, 196], 6),
      word('ball', [138, 200], { at: 'end' }),
      arc(centre, 96, 0, turn - 3),
      arc(centre, 96, 0, -turn + 3, { ink: 'soft', width: 1.4 }),
      word('+ open', [250, 72], { ink: 'control', bold: true }),
      word('- closed', [244, 146], { ink: 'soft' }),
      word('lead hip or shoulder', [lead[0] - 20, lead[1] - 14], { at: 'middle' }),
      word('trail', [trail[0] - 12, trail[1] + 5], { at: 'end' }),
    ],
  };
}
