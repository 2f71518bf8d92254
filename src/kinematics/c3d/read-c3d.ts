import type { AnalogRecord, Capture, CaptureEvent, ReadCapture } from '../capture.ts';
import { type ByteOrder, ByteReader, Refusal } from './bytes.ts';
import { decodeFrames } from './decode-frames.ts';
import { type FrameLayout, settleFrames } from './frame-layout.ts';
import { type C3dHeader, readHeader } from './header.ts';
import { countOf, numberOf, type Parameters, readParameters, textsOf } from './parameters.ts';

const BLOCK = 512;
const ORDER_OF_PROCESSOR: Readonly<Record<number, ByteOrder>> = { 84: 'Intel', 85: 'DEC', 86: 'SGI' };

/**
 * Reads a C3D file: Intel, DEC or SGI byte order, integer or floating point, parameter and data sections
 * wherever they stand. Faulty counts, starts, rates and labels that the rest of the file corrects are
 * corrected and named in `warnings`; a file that is cut, or is none, is refused with the byte offset. Never
 * throws, whatever the bytes.
 *
 * Camera masks are not kept. Coordinates keep the file's unit and axes: a layout says which way is up.
 *
 * @see the public description of the format at c3d.org
 * @example
 * const read = readC3d(readFileSync('swing.c3d'));
 * read.ok && read.capture.labels.length // 10
 */
export function readC3d(bytes: Uint8Array): ReadCapture {
  try {
    return read(bytes);
  } catch (error) {
    if (error instanceof Refusal) return { ok: false, fault: error.fault };
    throw error;
  }
}

function read(bytes: Uint8Array): ReadCapture {
  const warnings: string[] = [];
  const sectionStart = parameterStart(bytes, warnings);
  const file = new ByteReader(bytes, byteOrder(bytes, sectionStart));
  const header = readHeader(file, warnings);
  const section = parameterSection(bytes, sectionStart, header);
  const { parameters, end } = readParameters(file, sectionStart + 4, section.limit, warnings);
  if (end > section.stated)
    warnings.push(
      `The parameter section states ${bytes[sectionStart + 2]} blocks but runs to byte ${end}; it was read to its end mark.`,
    );
  const layout = settleFrames(header, parameters, bytes.length, Math.max(end, section.stated), warnings);
  const decoded = decodeFrames(file, layout);
  const rateHz = settleRate(header, parameters, warnings);
  const capture: Capture = {
    encoding: layout.encoding,
    byteOrder: file.order,
    rateHz,
    firstFrame: layout.firstFrame,
    frames: layout.frames,
    labels: settleLabels(textsOf(parameters, 'POINT:LABELS'), layout.points, warnings),
    unit: textsOf(parameters, 'POINT:UNITS')[0] || null,
    coordinates: decoded.coordinates,
    residuals: decoded.residuals,
    events: [...header.events, ...eventGroup(parameters, warnings)],
    analog: analogRecord(header, parameters, layout, rateHz, decoded.analog, warnings),
  };
  return { ok: true, capture, warnings };
}

function parameterStart(bytes: Uint8Array, warnings: string[]): number {
  if (bytes.length < 2 * BLOCK)
    throw new Refusal({
      offset: bytes.length,
      found: bytes.length === 0 ? 'an empty file' : `a file of ${bytes.length} bytes`,
      expected: 'at least a header and one block of parameters (1024 bytes)',
      remedy: 'The file was cut short or is no C3D file: copy or export it again.',
    });
  if (bytes[1] !== 0x50)
    throw new Refusal({
      offset: 1,
      found: `the value ${bytes[1]}`,
      expected: 'the mark of a C3D file, 80',
      remedy: 'This is no C3D file: give a capture exported as C3D.',
    });
  const block = bytes[0]!;
  if (block < 2) {
    warnings.push(`The header points to block ${block} for the parameters; block 2 was read instead.`);
    return BLOCK;
  }
  const start = (block - 1) * BLOCK;
  if (start + 4 > bytes.length)
    throw new Refusal({
      offset: 0,
      found: `parameters said to start at byte ${start} of a file of ${bytes.length}`,
      expected: 'a block within the file',
      remedy: 'The file was cut short or its header is damaged: copy or export it again.',
    });
  return start;
}

/** Where the parameters end as stated, and how far they may be read: to the data, where that follows. */
function parameterSection(
  bytes: Uint8Array,
  start: number,
  header: C3dHeader,
): { readonly stated: number; readonly limit: number } {
  const blocks = bytes[start + 2]!;
  const stated = start + blocks * BLOCK;
  if (stated > bytes.length)
    throw new Refusal({
      offset: bytes.length,
      found: `the file ends at byte ${bytes.length}, within its parameters`,
      expected: `${blocks} blocks of parameters, to byte ${stated}`,
      remedy: 'The file was cut short: copy or export it again.',
    });
  const data = (header.dataBlock - 1) * BLOCK;
  const open = blocks === 0 ? start + 255 * BLOCK : stated;
  return { stated, limit: Math.min(bytes.length, data > start ? Math.max(data, stated) : open) };
}

function byteOrder(bytes: Uint8Array, sectionStart: number): ByteOrder {
  const processor = bytes[sectionStart + 3]!;
  const order = ORDER_OF_PROCESSOR[processor];
  if (order) return order;
  throw new Refusal({
    offset: sectionStart + 3,
    found: `processor type ${processor}`,
    expected: '84 (Intel), 85 (DEC) or 86 (SGI)',
    remedy: 'The parameter section is damaged or not where the header says: export the file again.',
  });
}

function settleRate(header: C3dHeader, parameters: Parameters, warnings: string[]): number | null {
  const usable = (rate: number | null): rate is number => rate !== null && Number.isFinite(rate) && rate > 0;
  const stated = numberOf(parameters, 'POINT:RATE');
  if (usable(header.rateHz)) {
    if (usable(stated) && Math.abs(stated - header.rateHz) > 1e-4 * header.rateHz)
      warnings.push(
        `POINT:RATE is ${stated} Hz, the header says ${header.rateHz} Hz; the header was followed.`,
      );
    return header.rateHz;
  }
  if (usable(stated)) {
    warnings.push(`The header's rate (${header.rateHz}) is unusable; POINT:RATE ${stated} Hz was used.`);
    return stated;
  }
  warnings.push('The file states no sampling rate: give it in the layout as rateHz.');
  return null;
}

function settleLabels(stated: string[], points: number, warnings: string[]): string[] {
  const labels = stated.slice(0, points);
  if (stated.length < points) {
    warnings.push(
      `The file names ${stated.length} of its ${points} points; the others are called "point N".`,
    );
    for (let i = stated.length; i < points; i++) labels.push(`point ${i + 1}`);
  }
  const seen = new Set<string>();
  const twice = new Set(labels.filter((label) => seen.size === seen.add(label).size));
  if (twice.size > 0)
    warnings.push(
      `Labels that stand for more than one point: ${[...twice].slice(0, 5).join(', ')}; give the channel's number in the layout.`,
    );
  return labels;
}

function eventGroup(parameters: Parameters, warnings: string[]): CaptureEvent[] {
  const used = countOf(parameters, 'EVENT:USED') ?? 0;
  const times = parameters.get('EVENT:TIMES')?.numbers ?? [];
  const labels = textsOf(parameters, 'EVENT:LABELS');
  const contexts = textsOf(parameters, 'EVENT:CONTEXTS');
  const count = Math.min(used, Math.floor(times.length / 2));
  if (count < used) warnings.push(`The file counts ${used} events but gives times for ${count}.`);
  return Array.from({ length: count }, (_, i) => ({
    label: labels[i] ?? `event ${i + 1}`,
    time_s: times[2 * i]! * 60 + times[2 * i + 1]!,
    from: 'event group',
    context: contexts[i] || null,
  }));
}

function analogRecord(
  header: C3dHeader,
  parameters: Parameters,
  layout: FrameLayout,
  rateHz: number | null,
  raw: Float32Array,
  warnings: string[],
): AnalogRecord | null {
  if (layout.analogPerFrame === 0) return null;
  let perFrame = Math.max(1, header.analogSamplesPerFrame);
  if (layout.analogPerFrame % perFrame !== 0) {
    const used = countOf(parameters, 'ANALOG:USED') ?? 0;
    const corrected = used > 0 && layout.analogPerFrame % used === 0 ? layout.analogPerFrame / used : 1;
    warnings.push(
      `${perFrame} analog samples a frame do not divide the ${layout.analogPerFrame} values; ${corrected} were taken.`,
    );
    perFrame = corrected;
  }
  const channels = layout.analogPerFrame / perFrame;
  const general = numberOf(parameters, 'ANALOG:GEN_SCALE') ?? 1;
  const scales = parameters.get('ANALOG:SCALE')?.numbers ?? [];
  const offsets = parameters.get('ANALOG:OFFSET')?.numbers ?? [];
  const unsigned = textsOf(parameters, 'ANALOG:FORMAT')[0]?.toUpperCase() === 'UNSIGNED';
  const lift = (value: number): number => (unsigned && value < 0 ? value + 65536 : value);
  for (let c = 0; c < channels; c++) {
    const scale = general * (scales[c] ?? 1);
    const offset = lift(offsets[c] ?? 0);
    for (let i = c; i < raw.length; i += channels)
      raw[i] = ((layout.encoding === 'integer' ? lift(raw[i]!) : raw[i]!) - offset) * scale;
  }
  const labels = textsOf(parameters, 'ANALOG:LABELS');
  const units = textsOf(parameters, 'ANALOG:UNITS');
  return {
    channels,
    labels: Array.from({ length: channels }, (_, c) => labels[c] || `analog ${c + 1}`),
    units: Array.from({ length: channels }, (_, c) => units[c] ?? ''),
    rateHz: rateHz === null ? null : rateHz * perFrame,
    samples: raw,
  };
}
