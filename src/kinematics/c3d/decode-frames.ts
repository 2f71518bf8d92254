import type { ByteReader } from './bytes.ts';
import type { FrameLayout } from './frame-layout.ts';

export interface DecodedFrames {
  readonly coordinates: Float32Array;
  readonly residuals: Float32Array;
  /** Unscaled analog values, frame after frame. */
  readonly analog: Float32Array;
}

/**
 * Decodes every frame. A point whose fourth word is negative was not seen: its coordinates are NaN and its
 * residual is -1. Coordinates of integer data are multiplied by the scale; those of float data stand as they are.
 */
export function decodeFrames(file: ByteReader, layout: FrameLayout): DecodedFrames {
  const { frames, points, analogPerFrame } = layout;
  const out: DecodedFrames = {
    coordinates: new Float32Array(frames * points * 3),
    residuals: new Float32Array(frames * points),
    analog: new Float32Array(frames * analogPerFrame),
  };
  if (layout.encoding === 'float') decodeFloats(file, layout, out);
  else decodeIntegers(file, layout, out);
  return out;
}

const isLittleEndian = new Uint8Array(Uint16Array.of(1).buffer)[0] === 1;

/** The words as numbers of this machine: a view where the bytes already are, else a frame-sized copy. */
function floatsOfFrame(file: ByteReader, layout: FrameLayout): (frame: number) => Float32Array {
  const { start, frameBytes } = layout;
  const count = frameBytes / 4;
  const { bytes, order } = file;
  if (order === 'Intel' && isLittleEndian && (bytes.byteOffset + start) % 4 === 0)
    return (frame) => new Float32Array(bytes.buffer, bytes.byteOffset + start + frame * frameBytes, count);
  const row = new Float32Array(count);
  return (frame) => {
    for (let i = 0, at = start + frame * frameBytes; i < count; i++, at += 4)
      row[i] = file.float32(at, 'a frame');
    return row;
  };
}

function decodeFloats(file: ByteReader, layout: FrameLayout, out: DecodedFrames): void {
  const { frames, points, analogPerFrame } = layout;
  const { coordinates, residuals, analog } = out;
  const unit = Math.abs(layout.scale);
  const frameOf = floatsOfFrame(file, layout);
  let p = 0;
  let a = 0;
  for (let frame = 0; frame < frames; frame++) {
    const row = frameOf(frame);
    for (let i = 0; i < points * 4; i += 4, p++) {
      const word = row[i + 3]!;
      if (word >= 0) {
        coordinates[3 * p] = row[i]!;
        coordinates[3 * p + 1] = row[i + 1]!;
        coordinates[3 * p + 2] = row[i + 2]!;
        residuals[p] = (word & 0xff) * unit;
      } else markMissing(out, p);
    }
    for (let i = 0; i < analogPerFrame; i++) analog[a++] = row[points * 4 + i]!;
  }
}

function decodeIntegers(file: ByteReader, layout: FrameLayout, out: DecodedFrames): void {
  const { start, frames, points, analogPerFrame, scale } = layout;
  const { coordinates, residuals, analog } = out;
  let at = start;
  let p = 0;
  let a = 0;
  for (let frame = 0; frame < frames; frame++) {
    for (let i = 0; i < points; i++, p++, at += 8) {
      const word = file.signed16(at + 6, 'a frame');
      if (word >= 0) {
        coordinates[3 * p] = file.signed16(at, 'a frame') * scale;
        coordinates[3 * p + 1] = file.signed16(at + 2, 'a frame') * scale;
        coordinates[3 * p + 2] = file.signed16(at + 4, 'a frame') * scale;
        residuals[p] = (word & 0xff) * scale;
      } else markMissing(out, p);
    }
    for (let i = 0; i < analogPerFrame; i++, at += 2) analog[a++] = file.signed16(at, 'a frame');
  }
}

function markMissing({ coordinates, residuals }: DecodedFrames, p: number): void {
  coordinates.fill(Number.NaN, 3 * p, 3 * p + 3);
  residuals[p] = -1;
}
