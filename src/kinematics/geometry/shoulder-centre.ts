import { axisOf, type Matrix } from './frames.ts';
import { norm, scale, subtract, type Vector } from './vector.ts';

/** How far below the acromion the centre of the shoulder lies, as a share of the distance between the acromions. */
export const SHOULDER_BELOW_ACROMION = 0.17;

/**
 * Centre of the shoulder joint where only the acromion was marked: down the long axis of the thorax from it, by 17 % of the
 * distance between the acromions. An estimate of a living joint by a share of a length: expect it to be off by a centimetre
 * or two, which is a few degrees of elbow flexion near straight.
 *
 * @param thorax the ISB frame of the thorax
 * @see Rab G, Petuskey K, Bagley A (2002) Gait Posture 15:113-119
 * @example shoulderFromAcromion([0, 1, 0.2], [0, 1, -0.2], [[1, 0, 0], [0, 1, 0], [0, 0, 1]]) // [0, 0.932, 0.2]
 */
export function shoulderFromAcromion(acromion: Vector, otherAcromion: Vector, thorax: Matrix): Vector {
  const breadth = norm(subtract(acromion, otherAcromion));
  return subtract(acromion, scale(axisOf(thorax, 1), SHOULDER_BELOW_ACROMION * breadth));
}
