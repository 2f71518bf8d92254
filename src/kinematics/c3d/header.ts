import type { CaptureEvent } from '../capture.ts';
import { type ByteReader, trimField } from './bytes.ts';

/** The 512-byte header as it stands, right or wrong. */
export interface C3dHeader {
  readonly points: number;
  readonly analogPerFrame: number;
  readonly firstFrame: number;
  readonly lastFrame: number;
  readonly scale: number;
  readonly dataBlock: number;
  readonly analogSamplesPerFrame: number;
  readonly rateHz: number;
  readonly events: readonly CaptureEvent[];
}

/** Says that the four-letter event labels are in use (header word 150). */
const EVENT_KEY = 12345;
const MOST_EVENTS = 18;

export function readHeader(file: ByteReader, warnings: string[]): C3dHeader {
  const what = 'the header';
  return {
    points: file.unsigned16(2, what),
    analogPerFrame: file.unsigned16(4, what),
    firstFrame: file.unsigned16(6, what),
    lastFrame: file.unsigned16(8, what),
    scale: file.float32(12, what),
    dataBlock: file.unsigned16(16, what),
    analogSamplesPerFrame: file.unsigned16(18, what),
    rateHz: file.float32(20, what),
    events: readHeaderEvents(file, warnings),
  };
}

function readHeaderEvents(file: ByteReader, warnings: string[]): CaptureEvent[] {
  if (file.unsigned16(298, 'the header') !== EVENT_KEY) return [];
  let count = file.unsigned16(300, 'the header');
  if (count > MOST_EVENTS) {
    warnings.push(
      `The header counts ${count} events but has room for ${MOST_EVENTS}; the first ${MOST_EVENTS} were read.`,
    );
    count = MOST_EVENTS;
  }
  const events: CaptureEvent[] = [];
  for (let i = 0; i < count; i++) {
    const time_s = file.float32(304 + 4 * i, 'a header event');
    const label = trimField(file.text(396 + 4 * i, 4, 'a header event'));
    if (Number.isFinite(time_s)) events.push({ label, time_s, from: 'header', context: null });
    else warnings.push(`Header event ${i + 1} ("${label}") has no readable time and was left out.`);
  }
  return events;
}
