import { arc, club, dot, guide, line, type Point, polar, type Sketch, word } from './sketch.ts';

const SIZE = { width: 328, height: 220 };
/** Bearings in the drawings, degrees: 0 to the right, 90 up. */
const UPPER_ARM = -70;
const FLEXION = 70;

/** Three points of the trail arm: flexion is what the forearm has left of the line of the upper arm. */
export function elbowSketch(): Sketch {
  const elbow: Point = [140, 135];
  const shoulder = polar(elbow, 100, UPPER_ARM + 180);
  const forearm = UPPER_ARM + FLEXION;
  const wrist = polar(elbow, 95, forearm);
  return {
    ...SIZE,
    id: 'drawing-elbow',
    title: 'Trail elbow bend from three points',
    description: `Shoulder, elbow and wrist. The line of the upper arm is drawn on beyond the elbow; the bend, ${FLEXION} degrees here, is the angle from it to the forearm. The angle between the two bones, ${180 - FLEXION} degrees, is the included angle and not the bend.`,
    marks: [
      guide([elbow, polar(elbow, 75, UPPER_ARM)]),
      line([shoulder, elbow, wrist]),
      arc(elbow, 46, UPPER_ARM, forearm - 4),
      arc(elbow, 26, UPPER_ARM + 180, forearm, { ink: 'soft', width: 1.4, arrow: false }),
      ...[shoulder, elbow, wrist].map((point) => dot(point)),
      word('shoulder', [shoulder[0] - 12, shoulder[1] - 4], { at: 'end' }),
      word('elbow', [elbow[0] - 12, elbow[1] + 6], { at: 'end' }),
      word('wrist', [wrist[0] + 10, wrist[1] + 5]),
      word(`bend ${FLEXION}°, + bends`, [elbow[0] + 52, elbow[1] + 42], { ink: 'control', bold: true }),
      word(`included angle ${180 - FLEXION}°`, [elbow[0] + 34, elbow[1] - 32], { ink: 'soft' }),
    ],
  };
}

/** Frames of humerus and forearm: the angle about the line through the epicondyles. */
export function isbElbowSketch(): Sketch {
  const elbow: Point = [150, 125];
  const shoulder = polar(elbow, 98, UPPER_ARM + 180);
  const forearm = UPPER_ARM + FLEXION;
  const wrist = polar(elbow, 100, forearm);
  const hinge = 212;
  const [lateral, medial] = [polar(elbow, 26, hinge), polar(elbow, -26, hinge)];
  const [radial, ulnar] = [polar(wrist, 15, 60), polar(wrist, -15, 60)];
  return {
    ...SIZE,
    id: 'drawing-elbow-isb',
    title: 'Trail elbow flexion by the ISB frames',
    description:
      'Upper arm and forearm each carry a frame, from the shoulder, the two epicondyles and the two styloids. Flexion is the turn of the forearm about the axis of the humerus, the arrow near the line through the epicondyles; carrying angle and pronation are the other two turns.',
    marks: [
      guide([elbow, polar(elbow, 70, UPPER_ARM)]),
      line([polar(elbow, 74, hinge), polar(elbow, -62, hinge)], { ink: 'third', width: 1.8 }),
      line([polar(elbow, 62, hinge), polar(elbow, 76, hinge)], { ink: 'third', width: 1.8, arrow: true }),
      line([shoulder, elbow, wrist]),
      line([radial, ulnar], { width: 2 }),
      arc(elbow, 46, UPPER_ARM, forearm - 4),
      ...[shoulder, lateral, medial, radial, ulnar].map((point) => dot(point, 4)),
      word('shoulder', [shoulder[0] - 12, shoulder[1] + 3], { at: 'end' }),
      word('lateral', [lateral[0] - 8, lateral[1] - 20], { at: 'end' }),
      word('epicondyle', [lateral[0] - 8, lateral[1] - 6], { at: 'end' }),
      word('medial epicondyle', [medial[0] + 8, medial[1] - 10]),
      word('styloids', [wrist[0] - 14, wrist[1] + 32]),
      word('Z of the humerus', [8, elbow[1] + 66], { ink: 'third' }),
      word('flexion, + bends', [elbow[0] + 42, elbow[1] + 58], { ink: 'control', bold: true }),
    ],
  };
}

const LAG = 80;

/** Lead forearm and shaft at the top of a slope: the angle between their directions. */
export function lagSketch(): Sketch {
  const wrist: Point = [170, 142];
  const forearm = -20;
  const elbow = polar(wrist, 105, forearm + 180);
  const grip = polar(wrist, 10, forearm + 10);
  const shaft = forearm + LAG;
  return {
    ...SIZE,
    id: 'drawing-lag',
    title: 'Lag angle',
    description: `Lead elbow and wrist, grip and club head. The line of the forearm is drawn on beyond the wrist; the lag angle, ${LAG} degrees here, is the angle from it to the shaft. It is 0 when forearm and shaft are in one line. The included angle is the rest to 180.`,
    marks: [
      guide([grip, polar(grip, 110, forearm)]),
      line([elbow, wrist, grip]),
      club(grip, polar(grip, 126, shaft)),
      arc(grip, 56, forearm, shaft - 4),
      arc(grip, 28, shaft, forearm + 180, { ink: 'soft', width: 1.4, arrow: false }),
      dot(elbow),
      dot(wrist),
      word('lead elbow', [elbow[0] - 4, elbow[1] + 24], { at: 'middle' }),
      word('lead wrist, grip', [wrist[0] - 4, wrist[1] + 22], { at: 'end' }),
      word('club head', [254, 34]),
      word(`lag ${LAG}°`, [grip[0] + 62, grip[1] - 26], { ink: 'control', bold: true }),
      word(`included ${180 - LAG}°`, [grip[0] - 4, grip[1] - 46], { at: 'end', ink: 'soft' }),
    ],
  };
}
