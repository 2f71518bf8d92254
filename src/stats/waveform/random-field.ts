import { studentUpper, studentUpperQuantile } from '../../numerics/index.ts';

/** A t field over a line, as random field theory sees it. */
export interface RandomField {
  readonly degreesOfFreedom: number;
  /** `length` of its smoothness. */
  readonly length: number;
}

/**
 * Expected number of stretches of a t field above u (its Euler characteristic): P(T > u) + length (1 + u^2 / v)^(-(v - 1) / 2) / 2 pi,
 * with length = resels x sqrt(4 ln 2) (Adler and Hasofer 1976, Ann Probab 4:1, for Gaussian fields; Worsley 1994, Adv Appl
 * Probab 26:13, and Worsley, Marrett, Neelin, Vandal, Friston and Evans 1996, Hum Brain Mapp 4:58, for t fields).
 *
 * @example expectedStretches({ degreesOfFreedom: 3, length: 2 * Math.PI }, 3) // 0.2788: P(T3 > 3) + 1/4
 */
export function expectedStretches({ degreesOfFreedom: v, length }: RandomField, u: number): number {
  return studentUpper(u, v) + (length * Math.exp((-(v - 1) / 2) * Math.log1p((u * u) / v))) / (2 * Math.PI);
}

/**
 * Probability that |t| exceeds u somewhere when nothing differs: at most twice the expected number of stretches, and 1.
 *
 * @example randomFieldP({ degreesOfFreedom: 3, length: 2 * Math.PI }, -3) // 0.5577: 2 (P(T3 > 3) + 1/4)
 */
export function randomFieldP(field: RandomField, u: number): number {
  return Math.min(1, 2 * expectedStretches(field, Math.abs(u)));
}

/** The height a smooth random curve passes with the probability asked for, in standard errors. */
export interface RandomFieldThreshold {
  readonly value: number;
  /** The lower of the two that hold: by the smoothness, or for so many separate nodes (Bonferroni), as for rough fields. */
  readonly by: 'smoothness' | 'nodes';
}

/**
 * |t| above this anywhere has probability at most 1 - level when nothing differs.
 *
 * @param nodes at which the field was measured
 * @param level such as 0.95
 * @throws RangeError when the level is not between 0 and 1
 * @example
 * // So smooth that it is one value: Student's t for 0.975. So rough that its 10 nodes are separate: that for 0.9975.
 * randomFieldThreshold({ degreesOfFreedom: 10, length: 0 }, 10, 0.95) // { value: 2.228, by: 'smoothness' }
 * randomFieldThreshold({ degreesOfFreedom: 10, length: 1000 }, 10, 0.95) // { value: 3.581, by: 'nodes' }
 */
export function randomFieldThreshold(field: RandomField, nodes: number, level: number): RandomFieldThreshold {
  if (!(level > 0 && level < 1))
    throw new RangeError(
      `randomFieldThreshold: the level must be between 0 and 1, such as 0.95; found ${level}`,
    );
  const alpha = 1 - level;
  const separate = studentUpperQuantile(alpha / 2 / nodes, field.degreesOfFreedom);
  if (randomFieldP(field, separate) >= alpha) return { value: separate, by: 'nodes' };
  let [low, high] = [0, separate];
  while (high - low > 1e-13 * high) {
    const middle = (low + high) / 2;
    if (middle === low || middle === high) break;
    if (randomFieldP(field, middle) > alpha) low = middle;
    else high = middle;
  }
  return { value: high, by: 'smoothness' };
}
