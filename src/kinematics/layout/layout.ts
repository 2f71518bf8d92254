/** A layout file: what the channels are, which way is up and forward, and how the golfer plays. */

import type { InstantChoice } from '../instants/find-instants.ts';
import type { PlaneChoice } from '../metrics/swing-plane.ts';
import type { ProcessingOptions } from '../processing-options.ts';

/** An axis of the laboratory, with the direction that is meant. */
export type Axis = '+X' | '-X' | '+Y' | '-Y' | '+Z' | '-Z';
/** A channel by its label, or by its place in the file counted from 1. */
export type Channel = string | number;

/**
 * A layout file: which channel is which landmark, in which unit, and how the laboratory lies. The JSON schema is
 * data-schemas/layout.schema.json.
 */
export interface Layout {
  readonly note?: string;
  readonly lengthUnit: 'm' | 'cm' | 'mm' | 'in';
  readonly up: Axis;
  readonly targetLine:
    | { readonly axis: Axis }
    | { readonly from: Channel; readonly to: Channel; readonly at?: 'address' | 'whole capture' };
  readonly plays: 'right' | 'left';
  readonly landmarks: Readonly<Record<string, Channel>>;
  readonly ball?: readonly [number, number, number];
  readonly rateHz?: number;
  readonly markerNoise_mm?: number;
  /** Landmarks of each segment that does not change its shape, at least four to a segment. */
  readonly rigidSegments?: Readonly<Record<string, readonly string[]>>;
  readonly processing?: ProcessingOptions;
  readonly instants?: Partial<InstantChoice>;
  readonly swingPlane?: Partial<PlaneChoice>;
}

export const METRES_PER_UNIT = { m: 1, cm: 0.01, mm: 0.001, in: 0.0254 } as const;

/** The unit vector of an axis of the file. */
export function axisVector(axis: Axis): [number, number, number] {
  const sign = axis[0] === '+' ? 1 : -1;
  return [axis[1] === 'X' ? sign : 0, axis[1] === 'Y' ? sign : 0, axis[1] === 'Z' ? sign : 0];
}

/**
 * A landmark's name with the sides of the swing: left_ and right_ become lead_ and trail_ (a right-hander
 * leads with the left side), every other name stays.
 *
 * @example swingSideName('left_elbow', 'left') // 'trail_elbow'
 */
export function swingSideName(name: string, plays: 'right' | 'left'): string {
  const lead = plays === 'right' ? 'left_' : 'right_';
  const trail = plays === 'right' ? 'right_' : 'left_';
  if (name.startsWith(lead)) return `lead_${name.slice(lead.length)}`;
  if (name.startsWith(trail)) return `trail_${name.slice(trail.length)}`;
  return name;
}
