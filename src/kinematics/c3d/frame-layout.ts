import { Refusal } from './bytes.ts';
import type { C3dHeader } from './header.ts';
import { countOf, longCountOf, numberOf, type Parameters } from './parameters.ts';

/** Where the frames stand in the file and how each is built, once header, parameters and size agree. */
export interface FrameLayout {
  readonly start: number;
  readonly frames: number;
  readonly firstFrame: number;
  readonly points: number;
  readonly analogPerFrame: number;
  readonly encoding: 'integer' | 'float';
  readonly scale: number;
  readonly frameBytes: number;
}

const BLOCK = 512;

/**
 * Settles the counts. Where header, parameters and the size of the file disagree, the reading that makes the
 * data end with the file is taken and a warning says so; when the data would run past the end of the file,
 * the file is refused.
 */
export function settleFrames(
  header: C3dHeader,
  parameters: Parameters,
  fileBytes: number,
  parameterEnd: number,
  warnings: string[],
): FrameLayout {
  const start = settleStart(header, parameters, fileBytes, parameterEnd, warnings);
  const scale = settleScale(header, parameters, warnings);
  const encoding = scale < 0 ? 'float' : 'integer';
  const numberBytes = scale < 0 ? 4 : 2;
  const counts = declaredFrames(header, parameters);
  const shapes = declaredShapes(header, parameters);
  const room = fileBytes - start;
  const tried = shapes.map((shape) => {
    const frameBytes = (shape.points * 4 + shape.analogPerFrame) * numberBytes;
    return { ...shape, frameBytes, ...settleCount(counts, frameBytes, room) };
  });
  const best = tried.find((t) => t.fits && t.exact) ?? tried.find((t) => t.fits);
  if (!best) throw cutShort(tried[0]!, start, fileBytes, counts);
  if (best !== tried[0])
    warnings.push(
      `The header states ${header.points} points and ${header.analogPerFrame} analog values a frame; the size of the file fits ${best.points} and ${best.analogPerFrame}, as the parameters state.`,
    );
  warnAboutCounts(counts, best.frames, best.left, warnings);
  const firstFrame = longCountOf(parameters, 'TRIAL:ACTUAL_START_FIELD') ?? header.firstFrame;
  const { points, analogPerFrame, frameBytes, frames } = best;
  return { start, frames, firstFrame, points, analogPerFrame, encoding, scale, frameBytes };
}

function settleStart(
  header: C3dHeader,
  parameters: Parameters,
  fileBytes: number,
  parameterEnd: number,
  warnings: string[],
): number {
  const stated = countOf(parameters, 'POINT:DATA_START');
  const usable = (block: number | null): block is number =>
    block !== null && block >= 2 && (block - 1) * BLOCK < fileBytes;
  const after = Math.ceil(parameterEnd / BLOCK) * BLOCK;
  if (usable(header.dataBlock)) {
    if (stated !== null && stated !== header.dataBlock)
      warnings.push(
        `POINT:DATA_START says block ${stated}, the header says block ${header.dataBlock}; the header was followed.`,
      );
    return (header.dataBlock - 1) * BLOCK;
  }
  if (usable(stated)) {
    warnings.push(
      `The header's data start (block ${header.dataBlock}) is impossible; block ${stated} of POINT:DATA_START was used.`,
    );
    return (stated - 1) * BLOCK;
  }
  if (header.dataBlock > 1 || after >= fileBytes)
    throw new Refusal({
      offset: Math.min(fileBytes, header.dataBlock > 1 ? (header.dataBlock - 1) * BLOCK : after),
      found: `the file ends at byte ${fileBytes}, before its data`,
      expected: `data from block ${header.dataBlock} (header, byte 16) or ${stated ?? 'none'} (POINT:DATA_START)`,
      remedy: 'The file was cut short or is damaged: copy or export it again.',
    });
  warnings.push(
    `The header's data start (block ${header.dataBlock}) is impossible; the data was read from byte ${after}, after the parameters.`,
  );
  return after;
}

function settleScale(header: C3dHeader, parameters: Parameters, warnings: string[]): number {
  const usable = (scale: number | null): scale is number =>
    scale !== null && Number.isFinite(scale) && scale !== 0;
  const stated = numberOf(parameters, 'POINT:SCALE');
  if (usable(header.scale)) {
    if (usable(stated) && stated !== header.scale)
      warnings.push(
        `POINT:SCALE is ${stated}, the header's scale is ${header.scale}; the header was followed.`,
      );
    return header.scale;
  }
  if (usable(stated)) {
    warnings.push(`The header's scale (${header.scale}) is unusable; POINT:SCALE ${stated} was used.`);
    return stated;
  }
  throw new Refusal({
    offset: 12,
    found: `a scale of ${header.scale}`,
    expected: 'a number above 0 (integer data) or below 0 (floating-point data)',
    remedy: 'The header is damaged: export the file again.',
  });
}

interface DeclaredCount {
  readonly by: string;
  readonly frames: number;
}

/** Frame counts in the order in which they are believed. */
function declaredFrames(header: C3dHeader, parameters: Parameters): DeclaredCount[] {
  const counts: DeclaredCount[] = [];
  const add = (by: string, frames: number | null): void => {
    if (frames !== null && Number.isFinite(frames) && frames >= 1)
      counts.push({ by, frames: Math.floor(frames) });
  };
  const from = longCountOf(parameters, 'TRIAL:ACTUAL_START_FIELD');
  const to = longCountOf(parameters, 'TRIAL:ACTUAL_END_FIELD');
  if (from !== null && to !== null) add('TRIAL:ACTUAL_END_FIELD', to - from + 1);
  // The header's 16-bit last frame says nothing once a recording passes it.
  if (header.lastFrame < 65535 || counts.length === 0)
    add('the header', header.lastFrame - header.firstFrame + 1);
  add('POINT:LONG_FRAMES', numberOf(parameters, 'POINT:LONG_FRAMES'));
  add('POINT:FRAMES', countOf(parameters, 'POINT:FRAMES'));
  return counts;
}

interface Shape {
  readonly points: number;
  readonly analogPerFrame: number;
}

function declaredShapes(header: C3dHeader, parameters: Parameters): Shape[] {
  const samples = Math.max(1, header.analogSamplesPerFrame);
  const points = new Set([header.points, countOf(parameters, 'POINT:USED') ?? header.points]);
  const channels = countOf(parameters, 'ANALOG:USED');
  const analogs = new Set([header.analogPerFrame, channels === null ? 0 : channels * samples]);
  return [...points].flatMap((p) => [...analogs].map((a) => ({ points: p, analogPerFrame: a })));
}

/** The believed count among those the file has room for, and whether it leaves less than a block over. */
function settleCount(
  counts: readonly DeclaredCount[],
  frameBytes: number,
  room: number,
): { readonly frames: number; readonly fits: boolean; readonly exact: boolean; readonly left: number } {
  if (frameBytes === 0) return { frames: 0, fits: false, exact: false, left: room };
  const available = Math.floor(room / frameBytes);
  const outcome = (frames: number) => {
    const left = room - frames * frameBytes;
    return { frames, fits: true, exact: left < BLOCK, left };
  };
  const possible = counts.filter((c) => c.frames <= available).map((c) => outcome(c.frames));
  const exact = possible.find((p) => p.exact);
  if (exact) return exact;
  const wanted = counts[0]?.frames;
  if (wanted === undefined) return outcome(available);
  if (wanted <= available) return outcome(wanted);
  // One frame too many stated and the file ending on a frame: a miscount. Anything else is a cut file.
  if (wanted === available + 1 && available > 0 && room === available * frameBytes) return outcome(available);
  const smaller = possible[0];
  if (smaller && smaller.left < frameBytes) return smaller;
  return { frames: wanted, fits: false, exact: false, left: room - available * frameBytes };
}

function cutShort(
  tried: Shape & { readonly frameBytes: number; readonly frames: number },
  start: number,
  fileBytes: number,
  counts: readonly DeclaredCount[],
): Refusal {
  if (tried.frameBytes === 0)
    return new Refusal({
      offset: 2,
      found: 'no points and no analog channels',
      expected: 'a count of points (header, byte 2) or of analog values (byte 4)',
      remedy: 'The header is damaged or the file is empty: export it again.',
    });
  const whole = Math.floor((fileBytes - start) / tried.frameBytes);
  return new Refusal({
    offset: fileBytes,
    found: `${whole} whole frames of ${tried.frameBytes} bytes from byte ${start} to the end of the file`,
    expected: `${tried.frames} frames, ending at byte ${start + tried.frames * tried.frameBytes} (stated by ${counts.map((c) => `${c.by}: ${c.frames}`).join(', ')})`,
    remedy: 'The file was cut short: copy or export it again.',
  });
}

function warnAboutCounts(
  counts: readonly DeclaredCount[],
  frames: number,
  left: number,
  warnings: string[],
): void {
  for (const count of counts)
    if (count.frames !== frames && !(count.by === 'POINT:FRAMES' && count.frames === 65535))
      warnings.push(`${count.by} states ${count.frames} frames; ${frames} were read.`);
  if (counts.length === 0)
    warnings.push(`The file does not say how many frames it has; the ${frames} that it holds were read.`);
  if (left >= BLOCK)
    warnings.push(
      `${left} bytes after the last frame were not read: the file may hold more frames than it states.`,
    );
}
