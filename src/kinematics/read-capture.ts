import { readC3d } from './c3d/read-c3d.ts';
import type { Capture } from './capture.ts';
import { looksLikeText, readCsvCapture } from './csv/read-csv-capture.ts';
import type { CaptureResult } from './problem.ts';

/** A capture that was read, with its format and warnings. */
export interface CaptureRead {
  readonly capture: Capture;
  readonly format: 'C3D' | 'CSV';
  readonly warnings: readonly string[];
}

/**
 * Reads a capture whatever its format: a C3D file, or a text table with one column for each coordinate.
 *
 * @param fileName only its ending is read, and only to tell a text table by it
 * @returns the problem at its byte or column where the bytes are neither
 * @example
 * const read = readCapture(new TextEncoder().encode('time_s,C7_x,C7_y,C7_z\n0,1,2,3\n0.01,1,2,4\n'));
 * read.ok && read.value.format // 'CSV'
 * read.ok && read.value.capture.coordinates // [1, 2, 3, 1, 2, 4]
 */
export function readCapture(bytes: Uint8Array, fileName = ''): CaptureResult<CaptureRead> {
  if (/\.(csv|tsv|txt)$/i.test(fileName) || (!/\.c3d$/i.test(fileName) && looksLikeText(bytes))) {
    const read = readCsvCapture(bytes);
    return read.ok ? { ok: true, value: { ...read.value, format: 'CSV' } } : read;
  }
  const read = readC3d(bytes);
  if (read.ok) return { ok: true, value: { capture: read.capture, format: 'C3D', warnings: read.warnings } };
  const { offset, found, expected, remedy } = read.fault;
  return { ok: false, problems: [{ where: `capture byte ${offset}`, found, expected, remedy }] };
}
