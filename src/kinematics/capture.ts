/** What a capture file holds, before anything is named, oriented or cleaned. */

export interface CaptureEvent {
  readonly label: string;
  /** Seconds from the start of the recording. */
  readonly time_s: number;
  /** Where the file kept it, and whose event it says it is. */
  readonly from: 'header' | 'event group' | 'column';
  readonly context: string | null;
}

/** The analogue channels of a capture, in the units that the file states. */
export interface AnalogRecord {
  readonly channels: number;
  readonly labels: readonly string[];
  readonly units: readonly string[];
  readonly rateHz: number | null;
  /** Scaled values, sample after sample, each with one value per channel. */
  readonly samples: Float32Array;
}

/** A capture as its file has it: nothing renamed, turned, filled or filtered. */
export interface Capture {
  readonly encoding: 'integer' | 'float' | 'text';
  readonly byteOrder: 'Intel' | 'DEC' | 'SGI' | 'none';
  /** Frames per second; null when the file does not say. */
  readonly rateHz: number | null;
  /** Number of the first frame as the file counts. */
  readonly firstFrame: number;
  readonly frames: number;
  readonly labels: readonly string[];
  /** Unit of length as the file states it, or null. */
  readonly unit: string | null;
  /** x, y, z of every point of every frame, in the file's unit and axes; NaN where the point was not seen. */
  readonly coordinates: Float32Array | Float64Array;
  /** The system's own residual of each point of each frame, in the file's unit; -1 where not seen. */
  readonly residuals: Float32Array | null;
  readonly events: readonly CaptureEvent[];
  readonly analog: AnalogRecord | null;
}

/** Why a file was refused: the byte at which reading stopped, what stood there, what was expected, what to do. */
export interface FileFault {
  readonly offset: number;
  readonly found: string;
  readonly expected: string;
  readonly remedy: string;
}

/** A capture, or the one fault for which the file cannot be read. */
export type ReadCapture =
  | { readonly ok: true; readonly capture: Capture; readonly warnings: readonly string[] }
  | { readonly ok: false; readonly fault: FileFault };
