import { type NewC3d, writeC3d as write } from '../../src/kinematics/index.ts';

/** A C3D file as the tests describe it: points frame by frame, and sections where other writers put them. */
export interface WrittenFile extends Omit<NewC3d, 'coordinates' | 'analog'> {
  /** frames x points x 3; null where the point was not seen. */
  readonly points: readonly (readonly (readonly [number, number, number] | null)[])[];
  /** frames x (channels x samples a frame), raw values. */
  readonly analog?: Omit<NonNullable<NewC3d['analog']>, 'values'> & {
    readonly values: readonly (readonly number[])[];
  };
  /** Blocks of nothing before the parameters and before the data. */
  readonly blocksBeforeParameters?: number;
  readonly blocksBeforeData?: number;
}

const BLOCK = 512;
const UNSEEN = [Number.NaN, Number.NaN, Number.NaN];

export function writeC3d(file: WrittenFile): Uint8Array {
  const { points, analog, blocksBeforeParameters = 0, blocksBeforeData = 0, ...rest } = file;
  const bytes = write({
    ...rest,
    coordinates: Float64Array.from(points.flatMap((frame) => frame.flatMap((point) => point ?? UNSEEN))),
    ...(analog ? { analog: { ...analog, values: analog.values.flat() } } : {}),
  });
  return moved(bytes, file.order !== 'SGI', blocksBeforeParameters, blocksBeforeData);
}

/** The file with empty blocks put in, and the header pointing past them. */
function moved(bytes: Uint8Array, little: boolean, beforeParameters: number, beforeData: number): Uint8Array {
  if (beforeParameters + beforeData === 0) return bytes;
  const view = new DataView(bytes.buffer, bytes.byteOffset);
  const dataStart = (view.getUint16(16, little) - 1) * BLOCK;
  bytes[0]! += beforeParameters;
  view.setUint16(16, view.getUint16(16, little) + beforeParameters + beforeData, little);
  return Uint8Array.from([
    ...bytes.subarray(0, BLOCK),
    ...new Uint8Array(beforeParameters * BLOCK),
    ...bytes.subarray(BLOCK, dataStart),
    ...new Uint8Array(beforeData * BLOCK),
    ...bytes.subarray(dataStart),
  ]);
}
