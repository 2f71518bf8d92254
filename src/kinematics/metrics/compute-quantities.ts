import { arcFromAttack } from '../geometry/low-point-on-arc.ts';
import { headingOf, lagInPlane, leanInPlane, planeDirection, planeInclination } from '../geometry/plane.ts';
import type { Vector } from '../geometry/vector.ts';
import type { InstantName } from '../instants/instant.ts';
import type { MetricInput } from './downswing.ts';
import { attackOf, LAG, SHAFT } from './quantities.ts';
import type { AtInstant, Outcome, Reader } from './reader.ts';
import { type FoundPlane, readInPlane } from './swing-plane.ts';

/**
 * Quantities of the catalogue that are read once in a swing and have no column in the swings table, by their key. Those read
 * at every instant are beside the instants.
 */
export function computeQuantities({ reader }: MetricInput, plane: FoundPlane): Record<string, Outcome> {
  return {
    shaft_lean_plane_impact_deg: inPlane(reader, plane, 'impact', SHAFT, leanInPlaneOf),
    swing_plane_inclination_deg: ofPlane(plane, planeInclination),
    swing_plane_direction_deg: ofPlane(plane, planeDirection),
    club_path_deg: reader.at('impact', ['club_head'], (at) => headingOf(at.velocity('club_head'))),
    path_shift_deg: pathShift(reader, plane),
  };
}

/** Lag angle in the swing plane at an instant, deg. */
export function lagPlaneAt(reader: Reader, plane: FoundPlane, name: InstantName): Outcome {
  return inPlane(reader, plane, name, LAG, lagInPlaneOf);
}

type InPlane = (at: AtInstant, normal: Vector) => number;

const lagInPlaneOf: InPlane = (at, normal) =>
  lagInPlane(
    at.position('lead_elbow'),
    at.position('lead_wrist'),
    at.position('grip'),
    at.position('club_head'),
    normal,
  );
const leanInPlaneOf: InPlane = (at, normal) =>
  leanInPlane(at.position('grip'), at.position('club_head'), normal);

/** A reading of landmarks at an instant against the plane: its own uncertainty and that of the plane together. */
function inPlane(
  reader: Reader,
  plane: FoundPlane,
  name: InstantName,
  landmarks: readonly string[],
  measure: InPlane,
): Outcome {
  if ('missing' in plane) return plane;
  const { normal } = plane.plane.fit;
  const own = reader.at(name, landmarks, (at) => measure(at, normal));
  if ('missing' in own) return own;
  const value = (tilted: Vector): number => reader.valueAt(name, landmarks, (at) => measure(at, tilted));
  return readInPlane(plane.plane, value, own.reading.sd ** 2);
}

function ofPlane(plane: FoundPlane, measure: (normal: Vector) => number): Outcome {
  return 'missing' in plane ? plane : readInPlane(plane.plane, measure);
}

/** How far the path is turned out of the plane's direction by being struck before the low point, deg. */
function pathShift(reader: Reader, plane: FoundPlane): Outcome {
  if ('missing' in plane) return plane;
  const attack = reader.at('impact', ['club_head'], attackOf);
  if ('missing' in attack) return attack;
  const shift = (attack_deg: number, normal: Vector): number =>
    arcFromAttack(attack_deg, planeInclination(normal), 1).pathShift_deg;
  const { value, sd } = attack.reading;
  const { normal } = plane.plane.fit;
  const slope = (shift(value + 0.01, normal) - shift(value - 0.01, normal)) / 0.02;
  return readInPlane(plane.plane, (tilted) => shift(value, tilted), (slope * sd) ** 2);
}
