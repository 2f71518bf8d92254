import type { Matrix } from '../geometry/frames.ts';
import type { Vector } from '../geometry/vector.ts';

/** One intermediate on the way to an angle. */
export interface AngleStep {
  /** What it belongs to: steps with one heading stand together. */
  readonly heading: string;
  /** What it is called in the equations. */
  readonly symbol: string;
  readonly name: string;
  /** How it follows from what stands above it; '' for a point as measured. */
  readonly equation: string;
  /** The equation with the numbers put in, where that can be read. */
  readonly numbers?: string;
  /** A number, three coordinates, or a matrix by rows. */
  readonly value: number | Vector | Matrix;
  /** `length` is the unit of the table, `area` its square; a direction has length one. */
  readonly unit: 'length' | 'area' | 'direction' | 'none' | 'deg';
  /** Published source of this step, or '' where it needs none. */
  readonly source: string;
}

/** What the steps cite, in full. */
export const ANGLE_SOURCES: Readonly<Record<string, string>> = {
  'Wu et al. 2005':
    'Wu G, van der Helm FCT, Veeger HEJ, et al. (2005) ISB recommendation on definitions of joint coordinate systems of various joints for the reporting of human joint motion, part II: shoulder, elbow, wrist and hand. J Biomech 38:981-992',
  'Grood and Suntay 1983':
    'Grood ES, Suntay WJ (1983) A joint coordinate system for the clinical description of three-dimensional motions: application to the knee. J Biomech Eng 105:136-144',
};
