import { checkLayout } from './layout/check-layout.ts';
import { nameChannels } from './layout/name-channels.ts';
import { measureTrial } from './measure-trial.ts';
import type { Measurement, MeasureOptions } from './measurement.ts';
import type { CaptureProblem, CaptureResult } from './problem.ts';
import { readCapture } from './read-capture.ts';

/** A capture file with its layout, to be measured. */
export interface MeasureInput {
  /** The file as it stands: C3D, or a text table of coordinates. */
  readonly c3dBytes: Uint8Array;
  /** Name of the file; its ending tells a text table where the bytes do not. */
  readonly fileName?: string;
  /** The layout file as parsed JSON; it is checked here. */
  readonly layout: unknown;
  readonly options?: MeasureOptions;
}

/**
 * From a capture file and its layout to the metrics of a swing, each with its standard deviation, the instants in
 * seconds from impact, and warnings in words. Never throws on data: a file or layout that cannot be used gives
 * problems, a metric that cannot be computed is null.
 *
 * @example
 * const layout = JSON.parse(readFileSync('layout.json', 'utf8'));
 * const measured = measureCapture({ c3dBytes: readFileSync('swing.c3d'), layout });
 * measured.ok && Math.abs(measured.value.swing.trail_elbow_flexion_top_deg! - 93.25) < 0.5 // true: 93.25 deg were planted
 */
export function measureCapture({
  c3dBytes,
  fileName,
  layout,
  options,
}: MeasureInput): CaptureResult<Measurement> {
  const checked = checkLayout(layout);
  const read = readCapture(c3dBytes, fileName);
  const problems: CaptureProblem[] = [];
  if (!checked.ok) problems.push(...checked.problems);
  if (!read.ok) problems.push(...read.problems);
  if (!checked.ok || !read.ok) return { ok: false, problems };
  const { capture, warnings } = read.value;
  const named = nameChannels(capture, checked.value);
  if (!named.ok) return named;
  const measured = measureTrial(named.value, checked.value, capture.firstFrame, options);
  if (!measured.ok) return measured;
  // A rate that the layout gives needs no asking for.
  const asked =
    checked.value.rateHz === undefined ? warnings : warnings.filter((w) => !w.endsWith('as rateHz.'));
  return { ok: true, value: { ...measured.value, warnings: [...asked, ...measured.value.warnings] } };
}
