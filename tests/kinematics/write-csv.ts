import { type Capture, readCapture } from '../../src/kinematics/index.ts';

/** The points of a C3D file as a table, wide (a row for each frame) or long (a row for each marker of each frame). */
export function csvOf(c3d: Uint8Array, form: 'wide' | 'long' = 'wide'): Uint8Array {
  const read = readCapture(c3d);
  if (!read.ok) throw new Error(JSON.stringify(read.problems));
  const rows = form === 'wide' ? wide(read.value.capture) : long(read.value.capture);
  return new TextEncoder().encode(rows.map((row) => row.join(',')).join('\n'));
}

type Row = readonly (string | number)[];

const cell = (value: number): string | number => (Number.isNaN(value) ? '' : value);

function wide({ labels, coordinates, frames, firstFrame, rateHz }: Capture): Row[] {
  const width = 3 * labels.length;
  const header = ['frame', 'time_s', ...labels.flatMap((n) => [`${n}_x`, `${n}_y`, `${n}_z`])];
  return [
    header,
    ...Array.from({ length: frames }, (_, i) => [
      i + firstFrame,
      i / rateHz!,
      ...Array.from(coordinates.subarray(i * width, (i + 1) * width), cell),
    ]),
  ];
}

function long({ labels, coordinates, frames, rateHz }: Capture): Row[] {
  return [
    ['marker', 'time_s', 'z', 'y', 'x'],
    ...Array.from({ length: frames }, (_, i) =>
      labels.map((label, m) => {
        const at = 3 * (i * labels.length + m);
        const [x, y, z] = [0, 1, 2].map((k) => cell(coordinates[at + k]!));
        return [label, i / rateHz!, z!, y!, x!];
      }),
    ).flat(),
  ];
}
