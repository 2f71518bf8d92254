import {
  type CardanSequence,
  cardanAngles,
  type EulerSequence,
  type Matrix,
  SINGULAR_WITHIN_DEG,
} from './frames.ts';
import type { Vector } from './vector.ts';

/** The axes of three turns, in order. */
export type TurnSequence = CardanSequence | EulerSequence;

/**
 * Every sequence of three turns about the axes of a frame: six with three different axes, six that end with the
 * first.
 */
export const TURN_SEQUENCES: readonly TurnSequence[] = [
  'XYZ',
  'XZY',
  'YXZ',
  'YZX',
  'ZXY',
  'ZYX',
  'XYX',
  'XZX',
  'YXY',
  'YZY',
  'ZXZ',
  'ZYZ',
];

/** Three turns that make up one, in degrees. */
export interface TurnAngles {
  /** Degrees, in the order of the sequence. */
  readonly angles: Vector;
  /** The first and the third turn are about nearly one axis, so only their sum (or difference) is known. */
  readonly singular: boolean;
  /** The same in words, or null. */
  readonly warning: string | null;
}

const DEG = 180 / Math.PI;

/**
 * The three turns that make up a rotation, in any of the twelve sequences, each about an axis already turned by those
 * before it. Middle angle -90 to 90 for three different axes, 0 to 180 where the first axis comes again.
 *
 * For i-j-i with k the axis left over and s = 1 where i, j, k follow each other in the order X, Y, Z, X: first =
 * atan2(R_ji, -s R_ki), middle = atan2(hypot(R_ij, R_ik), R_ii), third = atan2(R_ij, s R_ik).
 *
 * @see Diebel J (2006) Representing attitude, Stanford University (all twelve); Grood ES, Suntay WJ (1983) J Biomech
 *   Eng 105:136-144; checked against general-purpose software in tests/reference/angles
 * @example turnAngles([[1, 0, 0], [0, 0, -1], [0, 1, 0]], 'XYZ').angles // [90, 0, 0]
 */
export function turnAngles(r: Matrix, sequence: TurnSequence): TurnAngles {
  const angles = isEuler(sequence) ? eulerAngles(r, sequence) : cardanAngles(r, sequence).angles;
  const near = isEuler(sequence)
    ? Math.min(Math.abs(angles[1]), Math.abs(180 - angles[1]))
    : 90 - Math.abs(angles[1]);
  const singular = near < SINGULAR_WITHIN_DEG;
  return {
    angles,
    singular,
    warning: singular
      ? `The middle turn of ${sequence} is ${angles[1].toFixed(1)} deg, within ${SINGULAR_WITHIN_DEG} deg of where its first and third axis fall together: those two turns are not told apart.`
      : null,
  };
}

export function isEuler(sequence: TurnSequence): sequence is EulerSequence {
  return sequence[0] === sequence[2];
}

function eulerAngles(r: Matrix, sequence: EulerSequence): Vector {
  const [i, j] = [...sequence].map((axis) => 'XYZ'.indexOf(axis)) as [0 | 1 | 2, 0 | 1 | 2];
  const k = (3 - i - j) as 0 | 1 | 2;
  const s = (j - i + 3) % 3 === 1 ? 1 : -1;
  return [
    Math.atan2(r[j][i], -s * r[k][i]) * DEG,
    Math.atan2(Math.hypot(r[i][j], r[i][k]), r[i][i]) * DEG,
    Math.atan2(r[i][j], s * r[i][k]) * DEG,
  ];
}
