import {
  arc,
  club,
  distance,
  dot,
  guide,
  line,
  type Point,
  polar,
  ring,
  type Sketch,
  word,
} from './sketch.ts';

const SIZE = { width: 328, height: 220 };

/** An arc of a circle's lower part, as points. */
const lowArc = (centre: Point, radius: number, from_deg: number, to_deg: number): readonly Point[] =>
  Array.from({ length: 41 }, (_, k) => polar(centre, radius, from_deg + ((to_deg - from_deg) * k) / 40));

const targetArrow = (y: number): string =>
  line(
    [
      [236, y],
      [300, y],
    ],
    { ink: 'soft', width: 1.6, arrow: true },
  ) + word('target', [230, y + 4], { at: 'end', ink: 'soft' });

/** Attack angle: the tangent of the head's path at impact. */
export function attackSketch(): Sketch {
  const centre: Point = [196, -70];
  const impact = polar(centre, 200, -110);
  const heading = -110 + 90;
  return {
    ...SIZE,
    id: 'drawing-attack',
    title: 'Attack angle',
    description:
      'Seen from the ball, the target to the right. The path of the club head, and its direction of travel at impact. The attack angle is from the horizontal to that direction; negative when the head still goes down.',
    marks: [
      line(lowArc(centre, 200, -138, -52), { ink: 'drill', width: 2 }),
      guide([impact, [impact[0] + 165, impact[1]]]),
      line([impact, polar(impact, 96, heading)], { ink: 'ink', width: 2.4, arrow: true }),
      ring([impact[0] + 9, impact[1] + 4], 7),
      arc(impact, 112, 0, heading + 2),
      word('horizontal', [impact[0] + 34, impact[1] - 8], { ink: 'soft' }),
      word('path of the head', [20, 62]),
      word('velocity at impact', [impact[0] - 4, impact[1] + 50]),
      word('- down', [impact[0] + 120, impact[1] + 32], { ink: 'control', bold: true }),
      targetArrow(204),
    ],
  };
}

/** Low point: how far ahead of the ball the head's path is lowest. */
export function lowPointSketch(): Sketch {
  const centre: Point = [206, -52];
  const lowest = polar(centre, 200, -90);
  const ball: Point = [120, 128];
  return {
    ...SIZE,
    id: 'drawing-low-point',
    title: 'Low point',
    description:
      'Seen from the ball, the target to the right. The path of the club head reaches its lowest point; the low point is its distance from the ball along the target line, positive when it lies nearer the target.',
    marks: [
      line(lowArc(centre, 200, -140, -56), { ink: 'drill', width: 2 }),
      ring(ball, 7),
      dot(lowest, 5, 'drill'),
      guide([ball, [ball[0], 178]]),
      guide([lowest, [lowest[0], 178]]),
      distance([ball[0], 172], [lowest[0], 172], '+ ahead', [0, 18]),
      word('ball', [ball[0] - 12, ball[1] + 18], { at: 'end' }),
      word('lowest point', [lowest[0] + 8, lowest[1] + 18]),
      targetArrow(207),
    ],
  };
}

/** Dynamic loft up from the horizontal, attack angle down from it, spin loft between them. */
export function loftSketch(): Sketch {
  const impact: Point = [92, 130];
  const loft = 27;
  const attack = -14;
  return {
    ...SIZE,
    id: 'drawing-loft',
    title: 'Dynamic loft, attack angle and spin loft',
    description:
      'The face at impact from the side, the target to the right. Dynamic loft goes from the horizontal up to where the face points; the attack angle from the horizontal to where the head travels, here down; spin loft is the whole angle between the two.',
    marks: [
      guide([impact, [300, impact[1]]]),
      line([polar(impact, 56, loft + 90), polar(impact, -34, loft + 90)], { ink: 'drill', width: 6 }),
      line([impact, polar(impact, 150, loft)], { width: 2.2, arrow: true }),
      line([impact, polar(impact, 120, attack)], { width: 2.2, arrow: true }),
      arc(impact, 88, 0, loft - 2),
      arc(impact, 88, 0, attack + 2),
      arc(impact, 192, attack, loft - 1, { ink: 'third' }),
      word('face', [impact[0] - 36, impact[1] - 46], { at: 'end' }),
      word('dynamic loft', [impact[0] + 92, impact[1] - 12], { ink: 'control', bold: true }),
      word('attack angle', [impact[0] + 40, impact[1] + 52], { ink: 'control', bold: true }),
      word('spin loft', [impact[0] + 164, impact[1] + 64], { at: 'middle', ink: 'third', bold: true }),
      word('face points here', [impact[0] + 96, impact[1] - 76], { at: 'middle' }),
      targetArrow(210),
    ],
  };
}

/** Hands on the inner path, head on the outer, each with its velocity at impact. */
export function speedSketch(): Sketch {
  const hub: Point = [150, 36];
  const grip = polar(hub, 66, -84);
  const head = polar(hub, 150, -92);
  return {
    ...SIZE,
    id: 'drawing-speed',
    title: 'Speeds of hands, head and ball',
    description:
      'Seen from the ball, the target to the right. The grip moves on a small arc and the club head on a large one; the arrows are their velocities at impact, and the ball leaves faster than the head. Lengths are not to scale.',
    marks: [
      line(lowArc(hub, 66, -170, -40), { ink: 'soft', width: 1.6 }),
      line(lowArc(hub, 150, -165, -62), { ink: 'drill', width: 1.8 }),
      club(grip, head),
      line([grip, [grip[0] + 44, grip[1]]], { ink: 'control', width: 2, arrow: true }),
      line([head, [head[0] + 72, head[1]]], { ink: 'control', width: 2, arrow: true }),
      ring([head[0] + 10, head[1] - 12], 6),
      line(
        [
          [head[0] + 18, head[1] - 15],
          [head[0] + 122, head[1] - 42],
        ],
        { ink: 'third', width: 2, arrow: true },
      ),
      word('hand speed', [grip[0] + 52, grip[1] + 5], { ink: 'control', bold: true }),
      word('club speed', [head[0] + 30, head[1] + 24], { ink: 'control', bold: true }),
      word('ball speed', [head[0] + 100, head[1] - 54], { ink: 'third', bold: true, at: 'middle' }),
    ],
  };
}

/** The face from the front with its centre and the strike. */
export function offsetSketch(): Sketch {
  const centre: Point = [160, 112];
  const strike: Point = [128, 132];
  const face: readonly Point[] = [
    [74, 168],
    [250, 168],
    [252, 140],
    [206, 46],
    [188, 40],
    [82, 128],
    [74, 168],
  ];
  return {
    ...SIZE,
    id: 'drawing-offset',
    title: 'Strike offset',
    description:
      'The face of a club from the front with its centre and the place of the strike; the offset is the distance between the two within the face.',
    marks: [
      line(face, { ink: 'drill', width: 2.4 }),
      line(
        [
          [centre[0] - 8, centre[1]],
          [centre[0] + 8, centre[1]],
        ],
        { ink: 'soft', width: 1.6 },
      ),
      line(
        [
          [centre[0], centre[1] - 8],
          [centre[0], centre[1] + 8],
        ],
        { ink: 'soft', width: 1.6 },
      ),
      ring(strike, 7),
      distance(centre, strike, 'offset', [34, 18]),
      word('centre', [centre[0] + 14, centre[1] + 2], { ink: 'soft' }),
      word('strike', [strike[0] - 8, strike[1] + 24], { at: 'middle' }),
    ],
  };
}
