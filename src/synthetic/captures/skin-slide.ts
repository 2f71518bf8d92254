import type { Stream } from '../../numerics/index.ts';

/** Waves a turn of the lead arm. */
const WAVES = 3;

/**
 * How skin slides under markers as the lead arm turns: in each coordinate of each marker a sum of sines of once, twice and three times
 * the arm's angle, with phases and sizes of its own. A smooth function of the movement: at the arm's fastest (some
 * 800 deg/s) the quickest wave has 7 Hz. That the slide of skin goes with the joint's angle and so cannot be filtered out is
 * published (Leardini et al. 2005, Gait & Posture 21, 212-225); this form of it is ours.
 *
 * @param slides whether each marker is on skin
 * @param size root mean square of each coordinate
 * @returns adds the slide at an angle of the arm (rad) to coordinates
 */
export function skinSlide(
  stream: Stream,
  slides: readonly boolean[],
  size: number,
): (leadArm_rad: number, into: Float64Array) => void {
  const each = size / Math.sqrt(WAVES);
  const count = 3 * slides.length;
  const sines = new Float64Array(count * WAVES);
  const cosines = new Float64Array(count * WAVES);
  for (let i = 0; i < count; i++)
    for (let wave = 0; wave < WAVES; wave++) {
      const [s, c] = [stream.normal(0, each), stream.normal(0, each)];
      if (!slides[Math.floor(i / 3)]) continue;
      sines[i * WAVES + wave] = s;
      cosines[i * WAVES + wave] = c;
    }
  return (angle, into) => {
    for (let wave = 0; wave < WAVES; wave++) {
      const [s, c] = [Math.sin((wave + 1) * angle), Math.cos((wave + 1) * angle)];
      for (let i = 0; i < count; i++)
        into[i]! += s * sines[i * WAVES + wave]! + c * cosines[i * WAVES + wave]!;
    }
  };
}
