import type { SegmentLength } from '../cleaning/rigidity.ts';
import { planeDirection, planeInclination } from '../geometry/plane.ts';
import type { SwingPlaneReport } from '../measurement.ts';
import type { Motion } from '../motion.ts';
import type { FoundInstants } from './reader.ts';
import { type FoundPlane, findSwingPlane, PLANE_PARTS, type PlaneChoice } from './swing-plane.ts';

/** The plane chosen, and beside it the planes of the other parts of the downswing, for comparing. */
export function findSwingPlanes(
  motion: Motion,
  segments: readonly SegmentLength[],
  instants: FoundInstants,
  choice: PlaneChoice,
): { readonly chosen: FoundPlane; readonly reports: readonly SwingPlaneReport[] } {
  const find = (from: PlaneChoice['from']): FoundPlane =>
    findSwingPlane(motion, segments, instants, { ...choice, from });
  const chosen = find(choice.from);
  const others = PLANE_PARTS.filter((from) => from !== choice.from).map(find);
  return { chosen, reports: [...reportOf(chosen, true), ...others.flatMap((one) => reportOf(one, false))] };
}

function reportOf(found: FoundPlane, used: boolean): SwingPlaneReport[] {
  if ('missing' in found) return [];
  const { choice, fit, frames } = found.plane;
  return [
    {
      path: choice.path,
      from: choice.from,
      to: 'impact',
      frames,
      residual_mm: fit.rms * 1000,
      inclination_deg: planeInclination(fit.normal),
      direction_deg: planeDirection(fit.normal),
      used,
    },
  ];
}
