import { writeC3d } from '../../kinematics/index.ts';
import { createStream, type Stream } from '../../numerics/index.ts';
import type { SwingBody, SwingTimings } from '../mechanics/index.ts';
import type { CaptureSettings } from './capture-settings.ts';
import { type CaptureTruth, captureTruth } from './capture-truth.ts';
import { channelOf, hasLineMarkers, LINE_CHANNELS, lineEnds, toSystem } from './lab.ts';
import { drawGaps, drawSwap, plantGap, plantSwap } from './marker-faults.ts';
import { MARKERS, placer } from './place-landmarks.ts';
import { PLANE_STATE } from './plane-state.ts';
import { planeSwing } from './plane-swing.ts';
import { skinSlide } from './skin-slide.ts';

/** One swing to be captured. */
export interface SwingToCapture {
  /** All randomness of the capture hangs on this and the seed alone. */
  readonly swing_id: string;
  readonly plays: 'right' | 'left';
  readonly body: SwingBody;
  readonly timings: SwingTimings;
}

/** A capture before it is a file. */
export interface SimulatedCapture {
  readonly labels: readonly string[];
  readonly frames: number;
  /** x, y, z of every channel of every frame, in the system's axes and unit; NaN where not seen. */
  readonly coordinates: Float64Array;
  /** When the first frame is, s from impact. */
  readonly first_s: number;
  readonly truth: CaptureTruth;
  readonly planted: Planted;
}

/** What was planted in a capture, in frames as the file counts them. */
export interface Planted {
  readonly gaps: readonly {
    readonly landmark: string;
    readonly channel: string;
    readonly from: number;
    readonly to: number;
  }[];
  readonly swaps: readonly {
    readonly landmarks: readonly [string, string];
    readonly channels: readonly [string, string];
    readonly from: number;
    readonly to: number;
  }[];
}

/** The number of the first frame in a capture that was made here. */
export const FIRST_FRAME = 1;

/** From the first movement to the start of the mechanics, s: mean and SD, and the least. Design assumption. */
const BACKSWING_S = { mean: 0.8, sd: 0.06, least: 0.6 } as const;
/** Markers that are taken for one another. */
const MISTAKEN: readonly (readonly [string, string])[] = [
  ['lead_elbow', 'trail_elbow'],
  ['lead_hip', 'trail_hip'],
  ['lead_shoulder', 'trail_shoulder'],
  ['trail_elbow', 'trail_wrist'],
  ['lead_elbow', 'lead_wrist'],
];
const ON_SKIN = MARKERS.map(
  (marker) => !(marker === 'grip' || marker.startsWith('club') || marker.startsWith('shaft')),
);

/**
 * A swing as a capture system sees it. Positions first, exact; then the slide of skin, noise, exchanged labels and gaps, each from a
 * stream of its own, so that switching one off leaves the others as they were.
 *
 * @returns the capture, or in words why this body with these timings makes no swing
 * @throws Error on a rate or noise that cannot be
 * @example
 * const swing = { swing_id: 'S1', plays: 'right', body: SKILLED_BODY, timings: SKILLED_TIMINGS } as const;
 * const capture = captureSwing(swing, CLEAN_CAPTURE, 1);
 * capture.coordinates.length === 3 * capture.frames * capture.labels.length // true
 * capture.planted // { gaps: [], swaps: [] }
 */
export function captureSwing(
  swing: SwingToCapture,
  settings: CaptureSettings,
  seed: number,
): SimulatedCapture | { readonly fault: string } {
  if (!(settings.rateHz > 0 && settings.noise_mm >= 0 && settings.wobble_mm >= 0))
    throw new Error('captureSwing: rateHz must be above 0, noise_mm and wobble_mm at least 0.');
  const stream = createStream(seed, 'capture', swing.swing_id);
  const timing = stream.sub('timing');
  const backswing_s = Math.max(BACKSWING_S.least, timing.normal(BACKSWING_S.mean, BACKSWING_S.sd));
  const plane = planeSwing(swing.body, swing.timings, backswing_s);
  if ('fault' in plane) return plane;
  const placed = placer(plane);
  const { rateHz, lab } = settings;
  const first_s = plane.start_s - settings.still_s + timing.uniform() / rateHz;
  const frames = Math.floor((plane.end_s - first_s) * rateHz) + 1;
  const labels = [
    ...MARKERS.map((marker) => channelOf(marker, swing.plays)),
    ...(hasLineMarkers(lab) ? LINE_CHANNELS : []),
  ];
  const fixed = hasLineMarkers(lab) ? lineEnds().flat() : [];
  const coordinates = new Float64Array(3 * frames * labels.length);
  const metres = new Float64Array(3 * labels.length);
  const state = new Float64Array(PLANE_STATE);
  const slide =
    settings.wobble_mm > 0 ? skinSlide(stream.sub('skin'), ON_SKIN, settings.wobble_mm / 1000) : null;
  const noise = settings.noise_mm > 0 ? stream.sub('noise') : null;
  const put = toSystem(lab, swing.plays);
  for (let frame = 0; frame < frames; frame++) {
    const time = first_s + frame / rateHz;
    placed.at(time, metres);
    metres.set(fixed, 3 * MARKERS.length);
    if (slide) {
      plane.at(time, state);
      slide(state[1]!, metres);
    }
    if (noise) addNoise(metres, noise, settings.noise_mm / 1000);
    for (let m = 0; m < metres.length; m += 3)
      put(metres[m]!, metres[m + 1]!, metres[m + 2]!, coordinates, frame * metres.length + m);
  }
  const planted = plantFaults(coordinates, frames, labels, stream, settings);
  return { labels, frames, coordinates, first_s, truth: captureTruth(plane, placed), planted };
}

function addNoise(values: Float64Array, stream: Stream, sd: number): void {
  for (let i = 0; i < values.length; i++) values[i]! += stream.normal(0, sd);
}

function plantFaults(
  coordinates: Float64Array,
  frames: number,
  labels: readonly string[],
  stream: Stream,
  settings: CaptureSettings,
): Planted {
  const pairs = MISTAKEN.map(([a, b]) => [MARKERS.indexOf(a), MARKERS.indexOf(b)] as const);
  const swap = drawSwap(stream.sub('swap'), frames, pairs, settings);
  if (swap) plantSwap(coordinates, labels.length, swap);
  const gaps = drawGaps(stream.sub('gaps'), frames, MARKERS.length, settings);
  for (const gap of gaps) plantGap(coordinates, labels.length, gap);
  const numbered = ({ from, to }: { from: number; to: number }) => ({
    from: from + FIRST_FRAME,
    to: to + FIRST_FRAME,
  });
  return {
    gaps: gaps.map((gap) => ({
      landmark: MARKERS[gap.marker]!,
      channel: labels[gap.marker]!,
      ...numbered(gap),
    })),
    swaps: (swap ? [swap] : []).map(({ markers: [a, b], from, to }) => ({
      landmarks: [MARKERS[a]!, MARKERS[b]!] as const,
      channels: [labels[a]!, labels[b]!] as const,
      ...numbered({ from, to }),
    })),
  };
}

/**
 * The capture as a C3D file, in the lab's unit and axes.
 *
 * @example
 * const swing = { swing_id: 'S1', plays: 'right', body: SKILLED_BODY, timings: SKILLED_TIMINGS } as const;
 * const capture = captureSwing(swing, CLEAN_CAPTURE, 1);
 * const read = readC3d(captureFile(capture, CLEAN_CAPTURE));
 * read.ok && [read.capture.rateHz, read.capture.unit] // [240, 'mm']
 * read.ok && read.capture.frames === capture.frames // true
 */
export function captureFile(
  capture: SimulatedCapture,
  { rateHz, lab, encoding }: CaptureSettings,
): Uint8Array {
  return writeC3d({
    rateHz,
    firstFrame: FIRST_FRAME,
    labels: capture.labels,
    unit: lab.unit,
    encoding,
    coordinates: capture.coordinates,
  });
}

/**
 * What is true of the capture, as JSON text: instants and metrics, and what was planted.
 *
 * @example
 * const swing = { swing_id: 'S1', plays: 'right', body: SKILLED_BODY, timings: SKILLED_TIMINGS } as const;
 * const capture = captureSwing(swing, CLEAN_CAPTURE, 1);
 * const { swing_id, instants, gaps } = JSON.parse(truthText(swing, capture, CLEAN_CAPTURE));
 * [swing_id, instants.impact, gaps.length] // ['S1', 0, 0]
 */
export function truthText(
  swing: SwingToCapture,
  capture: SimulatedCapture,
  { rateHz, noise_mm, wobble_mm }: CaptureSettings,
): string {
  const truth = {
    simulated: true,
    note: 'Instants in s from impact, metrics in the units of their names, both of the model and not of its markers; frames as the file counts them.',
    swing_id: swing.swing_id,
    plays: swing.plays,
    rateHz,
    noise_mm,
    wobble_mm,
    impactFrame: FIRST_FRAME - capture.first_s * rateHz,
    ...capture.truth,
    ...capture.planted,
  };
  return `${JSON.stringify(truth, null, 1)}\n`;
}
