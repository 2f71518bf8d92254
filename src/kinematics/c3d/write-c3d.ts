import { ByteWriter } from './byte-writer.ts';
import type { ByteOrder } from './bytes.ts';
import { type NewC3d, refuseUnwritable } from './new-c3d.ts';
import { MOST_ENTRIES, type NewParameter, writeParameters } from './write-parameters.ts';

const BLOCK = 512;
const PROCESSOR: Readonly<Record<ByteOrder, number>> = { Intel: 84, DEC: 85, SGI: 86 };
/** Counts above this go to the parameters of the TRIAL group. */
const LARGEST_WORD = 65535;
const EVENT_KEY = 12345;
const PARAMETER_BLOCK = 2;
/** Frames that one value may be interpolated over; readers ignore it, the header has a place for it. */
const LONGEST_INTERPOLATED = 10;

/**
 * Writes a C3D file: header, parameters (POINT, and ANALOG, EVENT and TRIAL where needed), frames. The same input gives the same
 * bytes. Integer data are rounded to the nearest multiple of the scale.
 *
 * @throws Error on what the format cannot hold, with the remedy
 * @see the public description of the format at c3d.org
 * @example
 * const bytes = writeC3d({ rateHz: 240, labels: ['HEAD'], coordinates: Float64Array.of(1, 2, 3, 4, 5, 6) }); // two frames
 * readC3d(bytes).ok // true
 */
export function writeC3d(file: NewC3d): Uint8Array<ArrayBuffer> {
  refuseUnwritable(file);
  const { labels, coordinates, analog } = file;
  const order = file.order ?? 'Intel';
  const frames = coordinates.length / (3 * labels.length);
  const analogPerFrame = analog ? analog.channels * analog.samplesPerFrame : 0;
  const section = writeParameters(parameterGroups(file, frames), order);
  const parameterBlocks = Math.ceil((section.length + 4) / BLOCK);
  if (parameterBlocks > 255)
    throw new Error(`writeC3d: ${labels.length} labels do not fit into the parameters; shorten them.`);
  const dataBlock = PARAMETER_BLOCK + parameterBlocks;
  const frameBytes = (file.encoding === 'integer' ? 2 : 4) * (4 * labels.length + analogPerFrame);
  const out = new ByteWriter(order, (dataBlock - 1) * BLOCK + frames * frameBytes + BLOCK);
  writeHeader(out, file, frames, dataBlock);
  out.byte(1).byte(0x50).byte(parameterBlocks).byte(PROCESSOR[order]).bytes(section);
  out.padTo((dataBlock - 1) * BLOCK);
  writeFrames(out, file, frames, analogPerFrame);
  return out.padTo(Math.ceil(out.length / BLOCK) * BLOCK).written();
}

function writeHeader(out: ByteWriter, file: NewC3d, frames: number, dataBlock: number): void {
  const { channels, samplesPerFrame } = file.analog ?? { channels: 0, samplesPerFrame: 1 };
  const first = file.firstFrame ?? 1;
  const events = file.headerEvents ?? [];
  out
    .byte(PARAMETER_BLOCK)
    .byte(0x50)
    .int16(file.labels.length)
    .int16(channels * samplesPerFrame);
  out.int16(Math.min(first, LARGEST_WORD)).int16(Math.min(first + frames - 1, LARGEST_WORD));
  out.int16(LONGEST_INTERPOLATED).float32(storedScale(file)).int16(dataBlock).int16(samplesPerFrame);
  out.float32(file.rateHz).padTo(298);
  out
    .int16(events.length > 0 ? EVENT_KEY : 0)
    .int16(events.length)
    .padTo(304);
  for (const { time_s } of events) out.float32(time_s);
  out.padTo(396);
  for (const { label } of events) out.text(label, 4);
  out.padTo((PARAMETER_BLOCK - 1) * BLOCK);
}

/** A negative scale says that the coordinates are floats. */
function storedScale({ encoding, scale = 0.1 }: NewC3d): number {
  return encoding === 'integer' ? scale : -scale;
}

function writeFrames(out: ByteWriter, file: NewC3d, frames: number, analogPerFrame: number): void {
  const { coordinates, scale = 0.1, residual = 0, analog } = file;
  const integer = file.encoding === 'integer';
  const points = file.labels.length;
  const residualWord = Math.round(residual / scale);
  for (let frame = 0; frame < frames; frame++) {
    for (let at = 3 * points * frame; at < 3 * points * (frame + 1); at += 3) {
      const [x, y, z] = [coordinates[at]!, coordinates[at + 1]!, coordinates[at + 2]!];
      const seen = !Number.isNaN(x + y + z);
      if (integer)
        out
          .int16(seen ? Math.round(x / scale) : 0)
          .int16(seen ? Math.round(y / scale) : 0)
          .int16(seen ? Math.round(z / scale) : 0)
          .int16(seen ? residualWord : -1);
      else
        out
          .float32(seen ? x : 0)
          .float32(seen ? y : 0)
          .float32(seen ? z : 0)
          .float32(seen ? residualWord : -1);
    }
    for (let i = frame * analogPerFrame; i < (frame + 1) * analogPerFrame; i++)
      integer ? out.int16(Math.round(analog!.values[i]!)) : out.float32(analog!.values[i]!);
  }
}

function parameterGroups(file: NewC3d, frames: number): [string, NewParameter[]][] {
  const { labels, analog, groupEvents, firstFrame = 1 } = file;
  const last = firstFrame + frames - 1;
  const point: NewParameter[] = [
    { name: 'USED', int16: [labels.length] },
    { name: 'FRAMES', int16: [Math.min(frames, LARGEST_WORD)] },
    { name: 'SCALE', float: [storedScale(file)] },
    { name: 'RATE', float: [file.rateHz] },
    { name: 'UNITS', texts: [file.unit ?? 'mm'] },
  ];
  for (let from = 0; from < labels.length; from += MOST_ENTRIES) {
    const name = from === 0 ? 'LABELS' : `LABELS${from / MOST_ENTRIES + 1}`;
    point.push({ name, texts: labels.slice(from, from + MOST_ENTRIES) });
  }
  const groups: [string, NewParameter[]][] = [['POINT', point]];
  if (last > LARGEST_WORD) {
    const words = (n: number): number[] => [n & 0xffff, n >>> 16];
    groups.push([
      'TRIAL',
      [
        { name: 'ACTUAL_START_FIELD', int16: words(firstFrame) },
        { name: 'ACTUAL_END_FIELD', int16: words(last) },
      ],
    ]);
  }
  if (analog)
    groups.push([
      'ANALOG',
      [
        { name: 'USED', int16: [analog.channels] },
        { name: 'GEN_SCALE', float: [1] },
        { name: 'SCALE', float: new Array(analog.channels).fill(analog.scale ?? 1) },
        { name: 'OFFSET', int16: new Array(analog.channels).fill(analog.offset ?? 0) },
      ],
    ]);
  if (groupEvents)
    groups.push([
      'EVENT',
      [
        { name: 'USED', int16: [groupEvents.length] },
        { name: 'LABELS', texts: groupEvents.map(({ label }) => label) },
        { name: 'CONTEXTS', texts: groupEvents.map(({ context }) => context) },
        {
          name: 'TIMES',
          float: groupEvents.flatMap(({ time_s }) => [Math.floor(time_s / 60), time_s % 60]),
          dimensions: [2, groupEvents.length],
        },
      ],
    ]);
  return groups;
}
