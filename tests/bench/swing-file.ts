import type { Layout } from '../../src/kinematics/index.ts';
import { createStream } from '../../src/numerics/index.ts';
import { plantSwing } from '../kinematics/planted-swing.ts';
import { PLAIN_LAYOUT } from '../kinematics/record-swing.ts';
import { writeC3d } from '../kinematics/write-c3d.ts';

const RATE_HZ = 240;
const MARKERS = 45;
const START_S = -1.5;
const NOISE_M = 0.0005;

const swing = plantSwing();
const labels = [
  ...swing.landmarks,
  ...Array.from({ length: MARKERS - swing.landmarks.length }, (_, i) => `extra_${i + 1}`),
];

/** The layout that belongs to `swingFile`. */
export const swingLayout: Layout = {
  ...PLAIN_LAYOUT,
  landmarks: Object.fromEntries(swing.landmarks.map((name) => [name, name])),
  ball: swing.ball,
};

/**
 * A C3D file (Intel, float) of the planted swing at 240 Hz with 45 markers and noise of its own for each seed. What the
 * capture would show after the swing is its end held still.
 */
export function swingFile({ seconds, seed = 1 }: { seconds: number; seed?: number }): Uint8Array {
  const { bytes, dataStart, clean } = template(seconds);
  const file = bytes.slice();
  const view = new DataView(file.buffer);
  const stream = createStream(seed);
  for (let p = 0; p < clean.length / 3; p++)
    for (let k = 0; k < 3; k++)
      view.setFloat32(dataStart + 16 * p + 4 * k, clean[3 * p + k]! + stream.normal(0, NOISE_M), true);
  return file;
}

interface Template {
  readonly bytes: Uint8Array;
  readonly dataStart: number;
  /** x, y, z of every marker of every frame, m. */
  readonly clean: Float64Array;
}

const templates = new Map<number, Template>();

function template(seconds: number): Template {
  const kept = templates.get(seconds);
  if (kept) return kept;
  const frames = Math.round(seconds * RATE_HZ);
  const points = Array.from({ length: frames }, (_, i) => {
    const t = Math.min(0.5, START_S + (i + 0.3) / RATE_HZ);
    return labels.map((label, m): [number, number, number] =>
      m < swing.landmarks.length ? swing.position(label, t) : [0.1 * m, 1, 0.05 * m],
    );
  });
  const bytes = writeC3d({ order: 'Intel', encoding: 'float', rateHz: RATE_HZ, labels, unit: 'm', points });
  const dataStart = (new DataView(bytes.buffer, bytes.byteOffset).getUint16(16, true) - 1) * 512;
  const made = { bytes, dataStart, clean: Float64Array.from(points.flat(2)) };
  templates.set(seconds, made);
  return made;
}
