import type { Capture } from '../capture.ts';
import type { CaptureProblem, CaptureResult } from '../problem.ts';
import type { Track, Trial } from '../trial.ts';
import { type Channel, type Layout, METRES_PER_UNIT, swingSideName } from './layout.ts';

/** A capture under the names that its layout gives the channels. */
export interface NamedChannels {
  /** Landmarks under their swing-side names, and the ends of the target line where channels give it. */
  readonly trial: Trial;
  readonly targetFrom: Track | null;
  readonly targetTo: Track | null;
  /** The ball as the layout gives it, m, in the file's axes. */
  readonly ball: readonly [number, number, number] | null;
  readonly warnings: readonly string[];
}

/**
 * Picks the channels that a layout names out of a capture and turns them into metres. A sample of exactly
 * 0, 0, 0 is taken as not seen (several systems write a missing point so) and a warning counts them.
 *
 * @returns problems where neither the capture nor the layout has a sampling rate, or a channel of the layout is not there
 *   or stands for more than one
 * @example
 * const read = readCapture(new TextEncoder().encode('time_s,L_ELB_x,L_ELB_y,L_ELB_z\n0,250,1000,500\n0.01,0,0,0\n'));
 * const layout = { lengthUnit: 'mm', up: '+Z', targetLine: { axis: '+X' }, plays: 'right', landmarks: { left_elbow: 'L_ELB' } } as const;
 * const named = read.ok && nameChannels(read.value.capture, layout);
 * named && named.ok && named.value.trial.tracks.get('lead_elbow') // { x: [0.25, NaN], y: [1, NaN], z: [0.5, NaN] }
 */
export function nameChannels(capture: Capture, layout: Layout): CaptureResult<NamedChannels> {
  const problems: CaptureProblem[] = [];
  const warnings: string[] = [];
  const rateHz = layout.rateHz ?? capture.rateHz;
  if (rateHz === null)
    problems.push({
      where: 'layout /rateHz',
      found: 'no sampling rate, neither here nor in the capture',
      expected: 'frames per second',
      remedy: 'Add rateHz to the layout file.',
    });
  if (layout.rateHz !== undefined && capture.rateHz !== null && differ(layout.rateHz, capture.rateHz))
    warnings.push(
      `The capture states ${round(capture.rateHz)} Hz, the layout ${layout.rateHz} Hz; the layout was followed.`,
    );
  if (capture.unit !== null && capture.unit.toLowerCase() !== layout.lengthUnit)
    warnings.push(
      `The capture states its unit as "${capture.unit}", the layout as ${layout.lengthUnit}; the layout was followed.`,
    );
  const scale = METRES_PER_UNIT[layout.lengthUnit];
  let zeros = 0;
  const pick = (channel: Channel, where: string): Track | null => {
    const index = channelIndex(capture, channel, where, problems);
    if (index === null) return null;
    const picked = trackOf(capture, index, scale);
    zeros += picked.zeros;
    return picked.track;
  };
  const tracks = new Map<string, Track>();
  for (const [name, channel] of Object.entries(layout.landmarks)) {
    const track = pick(channel, `layout /landmarks/${name}`);
    if (track) tracks.set(swingSideName(name, layout.plays), track);
  }
  const line = layout.targetLine;
  const targetFrom = 'from' in line ? pick(line.from, 'layout /targetLine/from') : null;
  const targetTo = 'to' in line ? pick(line.to, 'layout /targetLine/to') : null;
  if (problems.length > 0 || rateHz === null) return { ok: false, problems };
  if (zeros > 0) warnings.push(`${zeros} samples stand at exactly 0, 0, 0 and were taken as not seen.`);
  const ball = layout.ball ? ([...layout.ball].map((v) => v * scale) as [number, number, number]) : null;
  return {
    ok: true,
    value: { trial: { rateHz, frames: capture.frames, tracks }, targetFrom, targetTo, ball, warnings },
  };
}

function channelIndex(
  capture: Capture,
  channel: Channel,
  where: string,
  problems: CaptureProblem[],
): number | null {
  if (typeof channel === 'number') {
    if (channel <= capture.labels.length) return channel - 1;
    problems.push({
      where,
      found: `channel ${channel}`,
      expected: `1 to ${capture.labels.length}`,
      remedy: 'Correct the channel in the layout file; inspect lists those of a capture.',
    });
    return null;
  }
  const index = capture.labels.indexOf(channel);
  if (index < 0)
    problems.push({
      where,
      found: `the channel "${channel}", which the capture does not have`,
      expected: `one of ${capture.labels.slice(0, 40).join(', ')}${capture.labels.length > 40 ? ', ...' : ''}`,
      remedy: 'Correct the channel in the layout file, or give the layout that belongs to this capture.',
    });
  else if (capture.labels.indexOf(channel, index + 1) >= 0) {
    problems.push({
      where,
      found: `the label "${channel}", which stands for more than one channel`,
      expected: 'a label that stands for one channel',
      remedy: 'Give the channel by its number, counted from 1.',
    });
    return null;
  }
  return index < 0 ? null : index;
}

function trackOf(capture: Capture, index: number, scale: number): { track: Track; zeros: number } {
  const { frames, coordinates } = capture;
  const points = capture.labels.length;
  const x = new Float64Array(frames);
  const y = new Float64Array(frames);
  const z = new Float64Array(frames);
  let zeros = 0;
  for (let frame = 0; frame < frames; frame++) {
    const at = 3 * (frame * points + index);
    const [a, b, c] = [coordinates[at]!, coordinates[at + 1]!, coordinates[at + 2]!];
    const seen = Number.isFinite(a) && Number.isFinite(b) && Number.isFinite(c);
    const zero = a === 0 && b === 0 && c === 0;
    if (zero) zeros++;
    x[frame] = seen && !zero ? a * scale : Number.NaN;
    y[frame] = seen && !zero ? b * scale : Number.NaN;
    z[frame] = seen && !zero ? c * scale : Number.NaN;
  }
  return { track: { x, y, z }, zeros };
}

function differ(a: number, b: number): boolean {
  return Math.abs(a - b) > 1e-3 * Math.max(a, b);
}

function round(value: number): number {
  return Math.round(value * 1000) / 1000;
}
