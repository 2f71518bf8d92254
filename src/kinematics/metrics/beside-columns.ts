import type { SegmentLength } from '../cleaning/rigidity.ts';
import type { Measurement } from '../measurement.ts';
import { computeQuantities } from './compute-quantities.ts';
import type { MetricInput } from './downswing.ts';
import type { Outcome } from './reader.ts';
import { readingsAtInstants } from './report.ts';
import type { PlaneChoice } from './swing-plane.ts';
import { findSwingPlanes } from './swing-planes.ts';

/** What is measured of a swing beside the columns of the swings table. */
export interface BesideColumns extends Pick<Measurement, 'perInstant' | 'swingPlanes'> {
  readonly quantities: Readonly<Record<string, Outcome>>;
}

export const NOTHING_BESIDE: BesideColumns = { perInstant: {}, swingPlanes: [], quantities: {} };

export function besideColumns(
  input: MetricInput,
  segments: readonly SegmentLength[],
  choice: PlaneChoice,
): BesideColumns {
  const planes = findSwingPlanes(input.motion, segments, input.instants, choice);
  return {
    perInstant: readingsAtInstants(input, planes.chosen),
    swingPlanes: planes.reports,
    quantities: computeQuantities(input, planes.chosen),
  };
}
