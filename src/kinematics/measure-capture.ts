import { readC3d } from './c3d/read-c3d.ts';
import { checkLayout } from './layout/check-layout.ts';
import { nameChannels } from './layout/name-channels.ts';
import { measureTrial } from './measure-trial.ts';
import type { Measurement, MeasureOptions } from './measurement.ts';
import type { CaptureProblem, CaptureResult } from './problem.ts';

export interface MeasureInput {
  readonly c3dBytes: Uint8Array;
  /** The layout file as parsed JSON; it is checked here. */
  readonly layout: unknown;
  readonly options?: MeasureOptions;
}

/**
 * From a C3D file and its layout to the metrics of a swing, each with its standard deviation, the instants in
 * seconds from impact, and warnings in words. Never throws on data: a file or layout that cannot be used gives
 * problems, a metric that cannot be computed is null.
 *
 * @example
 * const measured = measureCapture({ c3dBytes, layout: JSON.parse(text) });
 * if (measured.ok) measured.value.swing.trail_elbow_flexion_top_deg; // 92.4
 */
export function measureCapture({ c3dBytes, layout, options }: MeasureInput): CaptureResult<Measurement> {
  const checked = checkLayout(layout);
  const read = readC3d(c3dBytes);
  const problems: CaptureProblem[] = checked.ok ? [] : [...checked.problems];
  if (!read.ok) {
    const { offset, found, expected, remedy } = read.fault;
    problems.push({ where: `capture byte ${offset}`, found, expected, remedy });
  }
  if (!checked.ok || !read.ok) return { ok: false, problems };
  const named = nameChannels(read.capture, checked.value);
  if (!named.ok) return named;
  const measured = measureTrial(named.value, checked.value, read.capture.firstFrame, options);
  if (!measured.ok) return measured;
  return { ok: true, value: { ...measured.value, warnings: [...read.warnings, ...measured.value.warnings] } };
}
