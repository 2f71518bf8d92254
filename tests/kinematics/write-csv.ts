import { type Capture, readCapture, writeCsvCapture } from '../../src/kinematics/index.ts';

/** The points of a C3D file as a table, wide (a row for each frame) or long (a row for each marker of each frame). */
export function csvOf(c3d: Uint8Array, form: 'wide' | 'long' = 'wide'): Uint8Array {
  const read = readCapture(c3d);
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  const { capture } = read.value;
  const text = form === 'wide' ? writeCsvCapture(wide(capture)).trimEnd() : long(capture);
  return new TextEncoder().encode(text);
}

function wide({ labels, coordinates, firstFrame, rateHz }: Capture) {
  return { labels, coordinates, firstFrame, rateHz: rateHz! };
}

function long({ labels, coordinates, frames, rateHz }: Capture): string {
  const cell = (value: number): string => (Number.isNaN(value) ? '' : String(value));
  const rows = Array.from({ length: frames }, (_, i) =>
    labels.map((label, m) => {
      const at = 3 * (i * labels.length + m);
      const [x, y, z] = [0, 1, 2].map((k) => cell(coordinates[at + k]!));
      return [label, String(i / rateHz!), z!, y!, x!];
    }),
  ).flat();
  return [['marker', 'time_s', 'z', 'y', 'x'], ...rows].map((row) => row.join(',')).join('\n');
}
