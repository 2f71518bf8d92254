import type { Capture, CaptureEvent } from './capture.ts';
import type { CaptureResult } from './problem.ts';
import { readCapture } from './read-capture.ts';

/** The file to look into. */
export interface InspectInput {
  readonly bytes: Uint8Array;
  /** Name of the file, which tells a text table from a C3D file when the bytes do not. */
  readonly fileName?: string;
  /** Number of the frame whose points are listed, as the file counts; the first where left out. */
  readonly frame?: number;
}

/** What a capture file holds, before any layout says what it means. */
export interface Inspection {
  readonly format: 'C3D' | 'CSV';
  readonly encoding: Capture['encoding'];
  readonly byteOrder: Capture['byteOrder'];
  readonly rateHz: number | null;
  readonly firstFrame: number;
  readonly lastFrame: number;
  readonly frames: number;
  readonly labels: readonly string[];
  readonly unit: string | null;
  readonly events: readonly CaptureEvent[];
  readonly analog: { readonly channels: number; readonly rateHz: number | null };
  readonly warnings: readonly string[];
  /** Coordinates at the frame, in the file's unit and axes; null where the point was not seen. */
  readonly points: Readonly<Record<string, readonly [number, number, number] | null>>;
}

/**
 * What a capture file holds, without a layout.
 *
 * @example
 * const inspected = inspectCapture({ bytes: readFileSync('swing.c3d') });
 * inspected.ok && inspected.value.format // 'C3D'
 */
export function inspectCapture({ bytes, fileName, frame }: InspectInput): CaptureResult<Inspection> {
  const read = readCapture(bytes, fileName);
  if (!read.ok) return read;
  const { capture, format, warnings } = read.value;
  const lastFrame = capture.firstFrame + capture.frames - 1;
  const at = frame ?? capture.firstFrame;
  if (!(Number.isInteger(at) && at >= capture.firstFrame && at <= lastFrame))
    return {
      ok: false,
      problems: [
        {
          where: 'frame',
          found: `${at}`,
          expected: `a frame from ${capture.firstFrame} to ${lastFrame}`,
          remedy: 'Give a frame that the capture has.',
        },
      ],
    };
  const { encoding, byteOrder, rateHz, firstFrame, frames, labels, unit, events, analog } = capture;
  return {
    ok: true,
    value: {
      format,
      encoding,
      byteOrder,
      rateHz,
      firstFrame,
      lastFrame,
      frames,
      labels,
      unit,
      events,
      analog: { channels: analog?.channels ?? 0, rateHz: analog?.rateHz ?? null },
      warnings,
      points: pointsAt(capture, at - firstFrame),
    },
  };
}

/** A label that stands for several points is followed by the channel's number. */
function pointsAt(capture: Capture, index: number): Record<string, readonly [number, number, number] | null> {
  const points: Record<string, readonly [number, number, number] | null> = {};
  capture.labels.forEach((label, i) => {
    const at = 3 * (index * capture.labels.length + i);
    const [x, y, z] = capture.coordinates.slice(at, at + 3) as unknown as [number, number, number];
    const key = label in points ? `${label} (channel ${i + 1})` : label;
    points[key] = Number.isNaN(x) ? null : [x, y, z];
  });
  return points;
}
