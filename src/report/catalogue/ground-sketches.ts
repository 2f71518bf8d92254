import { arc, dot, guide, line, type Point, polar, ring, type Sketch, word } from './sketch.ts';

const SIZE = { width: 328, height: 220 };

/** The plane seen along the target line, with points of the path about it. */
export function planeSketch(): Sketch {
  const foot: Point = [232, 180];
  const inclination = 58;
  const bearing = 180 - inclination;
  const beside = [6, -5, 4, -6, 5, -4];
  const path = beside.map((off, k) => polar(polar(foot, 26 + 24 * k, bearing), off, bearing + 90));
  return {
    ...SIZE,
    id: 'drawing-plane',
    title: 'Inclination of the swing plane',
    description:
      'Seen along the target line, the target away from the reader, the golfer to the left and the ball to the right. Points of the head path lie about a line that rises away from the ball: the fitted plane, seen edge on. Its inclination is the angle from the ground; the residual is the mean square distance of the points from it.',
    marks: [
      line(
        [
          [24, 180],
          [308, 180],
        ],
        { ink: 'soft', width: 1.6 },
      ),
      line([foot, polar(foot, 172, bearing)], { ink: 'soft', width: 2.4 }),
      ...path.map((point) => dot(point, 4, 'drill')),
      ring([foot[0] + 10, 172], 7),
      arc(foot, 62, 180, bearing + 2),
      word('inclination', [foot[0] - 70, 164], { at: 'end', ink: 'control', bold: true }),
      word('swing plane', [146, 34], { ink: 'soft' }),
      word('path of the head', [202, 96], { ink: 'ink' }),
      word('ground', [30, 198], { ink: 'soft' }),
      word('ball', [foot[0] + 10, 202], { at: 'middle' }),
      word('golfer', [40, 110], { ink: 'soft' }),
    ],
  };
}

/** The path at impact and the direction of the plane, from above. */
export function pathSketch(): Sketch {
  const impact: Point = [60, 96];
  const [direction, path] = [-12, -31];
  return {
    ...SIZE,
    id: 'drawing-path',
    title: 'Club path, direction of the swing plane and path shift',
    description:
      'Seen from above, the target to the right and the golfer at the top. The plane points away from the target line by its direction; the head, struck before the low point, travels further out by the path shift. The club path is both together, positive when the head moves away from the golfer.',
    marks: [
      guide([
        [16, impact[1]],
        [306, impact[1]],
      ]),
      line([polar(impact, -44, direction), polar(impact, 216, direction)], { ink: 'soft', width: 2.4 }),
      line([impact, polar(impact, 132, path)], { width: 2.6, arrow: true }),
      ring(impact, 7),
      arc(impact, 196, 0, direction + 1, { ink: 'third' }),
      arc(impact, 108, direction, path + 3, { ink: 'drill' }),
      arc(impact, 70, 0, path + 4),
      word('target line', [306, impact[1] - 8], { at: 'end', ink: 'soft' }),
      word('plane, direction +', [318, 176], { at: 'end', ink: 'third', bold: true }),
      word('path shift', [174, 154], { ink: 'drill', bold: true }),
      word('club path, + out', [24, 172], { ink: 'control', bold: true }),
      word('velocity', [180, 198]),
      word('golfer', [130, 34], { at: 'middle', ink: 'soft' }),
      word('ball', [impact[0] - 12, impact[1] + 22], { at: 'end' }),
    ],
  };
}

/** Where the frames of rib cage and pelvis come from. */
export function trunkSketch(): Sketch {
  const c7: Point = [66, 34];
  const t8: Point = [50, 108];
  const ij: Point = [114, 54];
  const px: Point = [122, 122];
  const half = (a: Point, b: Point): Point => [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2];
  const [low, high] = [half(px, t8), half(ij, c7)];
  const [lead, trail]: readonly [Point, Point] = [
    [202, 66],
    [278, 66],
  ];
  const [backLead, backTrail]: readonly [Point, Point] = [
    [222, 132],
    [258, 132],
  ];
  return {
    ...SIZE,
    id: 'drawing-trunk',
    title: 'Landmarks of the frames of thorax and pelvis',
    description:
      'Left, the rib cage from the trail side, facing right: C7 and T8 on the spine, IJ and PX at the breastbone; the long axis goes from the middle of T8 and PX to the middle of C7 and IJ, and the axis whose turn is read points out of the picture. Right, the pelvis from above, facing up the page: the two front spines and the two back spines; its axis goes from the lead to the trail front spine.',
    marks: [
      line([c7, t8], { ink: 'soft', width: 1.6 }),
      line([ij, px], { ink: 'soft', width: 1.6 }),
      guide([c7, ij]),
      guide([t8, px]),
      line([low, high], { ink: 'control', width: 2.6, arrow: true }),
      ...[c7, t8, ij, px].map((point) => dot(point)),
      word('C7', [c7[0] - 10, c7[1] + 2], { at: 'end' }),
      word('T8', [t8[0] - 10, t8[1] + 5], { at: 'end' }),
      word('IJ', [ij[0] + 10, ij[1] + 4]),
      word('PX', [px[0] + 10, px[1] + 6]),
      word('y', [high[0] + 9, high[1] + 22], { ink: 'control', bold: true }),
      word('thorax,', [84, 168], { at: 'middle' }),
      word('from the trail side', [84, 186], { at: 'middle', ink: 'soft' }),
      guide([half(lead, trail), half(backLead, backTrail)]),
      line([lead, trail], { ink: 'control', width: 2.6, arrow: true }),
      ...[lead, trail, backLead, backTrail].map((point) => dot(point)),
      word('trail ASIS', [trail[0] + 4, trail[1] - 12], { at: 'middle' }),
      word('lead ASIS', [lead[0] - 4, lead[1] - 12], { at: 'middle' }),
      word('PSIS', [half(backLead, backTrail)[0], backLead[1] + 20], { at: 'middle' }),
      word('z', [half(lead, trail)[0] + 8, lead[1] + 18], { ink: 'control', bold: true }),
      word('pelvis,', [240, 168], { at: 'middle' }),
      word('from above', [240, 186], { at: 'middle', ink: 'soft' }),
    ],
  };
}
