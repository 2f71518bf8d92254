import { attackAngle, flexionRate, lagAngle, shaftLean, threePointFlexion } from '../geometry/angles.ts';
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
export const leanOf = (at: AtInstant): number => shaftLean(at.position('grip'), at.position('club_head'));
export const attackOf = (at: AtInstant): number => attackAngle(at.velocity('club_head'));
export const handSpeedOf = (at: AtInstant): number => norm(at.velocity('grip'));
