import type { Stream } from '../../numerics/index.ts';
import type { CaptureSettings } from './capture-settings.ts';

/** Frames in which a marker was not seen, counted from 0, both ends included. */
export interface PlantedGap {
  readonly marker: number;
  readonly from: number;
  readonly to: number;
}

/** Frames in which two markers have each other's labels. */
export interface PlantedSwap {
  readonly markers: readonly [number, number];
  readonly from: number;
  readonly to: number;
}

/** Gaps of a capture: a Poisson number of them, each of any marker, anywhere, of geometric length. */
export function drawGaps(
  stream: Stream,
  frames: number,
  markers: number,
  { gaps, rateHz }: CaptureSettings,
): PlantedGap[] {
  const count = poisson(stream, gaps.mean);
  return Array.from({ length: count }, () => {
    const length = geometric(stream, (gaps.length_ms / 1000) * rateHz);
    const marker = stream.integer(0, markers - 1);
    const from = stream.integer(1, Math.max(1, frames - 2));
    return { marker, from, to: Math.min(frames - 2, from + length - 1) };
  });
}

/** The swap of a capture, if it has one: of one of the pairs that are mistaken for one another. */
export function drawSwap(
  stream: Stream,
  frames: number,
  pairs: readonly (readonly [number, number])[],
  { swaps, rateHz }: CaptureSettings,
): PlantedSwap | null {
  const happens = stream.bernoulli(swaps.share);
  const markers = stream.choice(pairs);
  const length = geometric(stream, (swaps.length_ms / 1000) * rateHz);
  const from = stream.integer(2, Math.max(2, frames - 4));
  return happens ? { markers, from, to: Math.min(frames - 3, from + length - 1) } : null;
}

/** Exchanges two markers' coordinates. */
export function plantSwap(coordinates: Float64Array, markers: number, swap: PlantedSwap): void {
  for (let frame = swap.from; frame <= swap.to; frame++) {
    const [a, b] = swap.markers.map((marker) => 3 * (frame * markers + marker)) as [number, number];
    for (let k = 0; k < 3; k++) {
      const kept = coordinates[a + k]!;
      coordinates[a + k] = coordinates[b + k]!;
      coordinates[b + k] = kept;
    }
  }
}

export function plantGap(coordinates: Float64Array, markers: number, gap: PlantedGap): void {
  for (let frame = gap.from; frame <= gap.to; frame++) {
    const at = 3 * (frame * markers + gap.marker);
    coordinates.fill(Number.NaN, at, at + 3);
  }
}

/** A Poisson number by multiplication of uniforms; for small means. */
function poisson(stream: Stream, mean: number): number {
  const least = Math.exp(-mean);
  let count = 0;
  for (let product = stream.uniform(); product > least; product *= stream.uniform()) count++;
  return count;
}

/** A whole number from 1 on, geometric, of that mean (1 where it is less). */
function geometric(stream: Stream, mean: number): number {
  if (mean <= 1) return 1;
  return 1 + Math.floor(Math.log(1 - stream.uniform()) / Math.log(1 - 1 / mean));
}
