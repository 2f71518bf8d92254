import { attackAngle, flexionRate, lagAngle, shaftLean, threePointFlexion } from '../geometry/angles.ts';
import { faceOn } from '../geometry/plane.ts';
import { norm } from '../geometry/vector.ts';
import type { AtInstant } from './reader.ts';

export const FLEXION = ['trail_shoulder', 'trail_elbow', 'trail_wrist'] as const;
export const LAG = ['lead_elbow', 'lead_wrist', 'grip', 'club_head'] as const;
export const SHAFT = ['grip', 'club_head'] as const;

export const flexionOf = (at: AtInstant): number =>
  threePointFlexion(at.position('trail_shoulder'), at.position('trail_elbow'), at.position('trail_wrist'));
export const flexionRateOf = (at: AtInstant): number =>
  flexionRate(
    [at.position('trail_shoulder'), at.position('trail_elbow'), at.position('trail_wrist')],
    [at.velocity('trail_shoulder'), at.velocity('trail_elbow'), at.velocity('trail_wrist')],
  );
export const lagOf = (at: AtInstant): number =>
  lagAngle(
    at.position('lead_elbow'),
    at.position('lead_wrist'),
    at.position('grip'),
    at.position('club_head'),
  );
/** The same two angles as they are seen in a picture taken face on. */
export const flexionFaceOnOf = (at: AtInstant): number =>
  threePointFlexion(
    faceOn(at.position('trail_shoulder')),
    faceOn(at.position('trail_elbow')),
    faceOn(at.position('trail_wrist')),
  );
export const lagFaceOnOf = (at: AtInstant): number =>
  lagAngle(
    faceOn(at.position('lead_elbow')),
    faceOn(at.position('lead_wrist')),
    faceOn(at.position('grip')),
    faceOn(at.position('club_head')),
  );
export const leanOf = (at: AtInstant): number => shaftLean(at.position('grip'), at.position('club_head'));
export const attackOf = (at: AtInstant): number => attackAngle(at.velocity('club_head'));
export const handSpeedOf = (at: AtInstant): number => norm(at.velocity('grip'));
