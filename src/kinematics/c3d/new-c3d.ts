import type { ByteOrder } from './bytes.ts';

/** What goes into a C3D file. */
export interface NewC3d {
  /** Byte order; Intel unless given. */
  readonly order?: ByteOrder;
  /** Coordinates as 32-bit floats (unless given), or as 16-bit integers times `scale`. */
  readonly encoding?: 'float' | 'integer';
  /** Unit of length of one step of integer data, and of the residuals of both; 0.1 unless given. */
  readonly scale?: number;
  readonly rateHz: number;
  /** Number of the first frame; 1 unless given. */
  readonly firstFrame?: number;
  readonly labels: readonly string[];
  /** Unit of length; mm unless given. */
  readonly unit?: string;
  /** x, y, z of every point of every frame; a point of which one is NaN counts as not seen. */
  readonly coordinates: Float64Array | Float32Array;
  /** The same residual for every point that is seen, in the unit of length; 0 unless given. */
  readonly residual?: number;
  readonly analog?: NewAnalog;
  readonly headerEvents?: readonly { readonly label: string; readonly time_s: number }[];
  readonly groupEvents?: readonly {
    readonly label: string;
    readonly context: string;
    readonly time_s: number;
  }[];
}

/** Analogue channels for a new C3D file. */
export interface NewAnalog {
  readonly channels: number;
  readonly samplesPerFrame: number;
  /** Unscaled, frame after frame, sample after sample, one value for each channel. */
  readonly values: ArrayLike<number>;
  /** value = (stored - offset) * scale; 1 and 0 unless given. */
  readonly scale?: number;
  readonly offset?: number;
}

const LONGEST_LABEL = 127;
const MOST_WORDS = 65535;
const LARGEST_INTEGER = 32767;

/**
 * What the format cannot hold, as an Error.
 *
 * @throws Error with the remedy: a count that does not fit, a label that is too long or not of one-byte characters, a rate or scale
 *   that is no number, a coordinate beyond what integers hold at the scale given
 */
export function refuseUnwritable(file: NewC3d): void {
  const refuse = (why: string): never => {
    throw new Error(`writeC3d: ${why}`);
  };
  const { labels, coordinates, rateHz, scale = 0.1, firstFrame = 1, analog } = file;
  const frames = labels.length === 0 ? 0 : coordinates.length / (3 * labels.length);
  if (!Number.isInteger(frames) || frames < 1)
    refuse(
      `${coordinates.length} coordinates are no whole frames of ${labels.length} points; give x, y, z of every point of every frame.`,
    );
  if (labels.length > MOST_WORDS) refuse(`${labels.length} points; a file holds at most ${MOST_WORDS}.`);
  if (!(Number.isFinite(rateHz) && rateHz >= 0))
    refuse(`a rate of ${rateHz} Hz; give frames per second, or 0 where it is not known.`);
  if (!(Number.isFinite(scale) && scale > 0)) refuse(`a scale of ${scale}; give a number above 0.`);
  if (!Number.isInteger(firstFrame) || firstFrame < 1)
    refuse(`first frame ${firstFrame}; give a whole number from 1.`);
  for (const label of labels)
    if (label.length > LONGEST_LABEL || !/^[\x20-\xff]*$/.test(label))
      refuse(`the label "${label}"; give at most ${LONGEST_LABEL} characters of one byte each.`);
  if (analog && analog.values.length !== frames * analog.channels * analog.samplesPerFrame)
    refuse(
      `${analog.values.length} analog values; ${analog.channels} channels with ${analog.samplesPerFrame} samples in ${frames} frames need ${frames * analog.channels * analog.samplesPerFrame}.`,
    );
  if (file.encoding !== 'integer') return;
  const most = LARGEST_INTEGER * scale;
  for (const value of coordinates)
    if (Math.abs(value) > most)
      refuse(
        `a coordinate of ${value}; integers at a scale of ${scale} hold up to ${most}. Give a larger scale, or write floats.`,
      );
}
