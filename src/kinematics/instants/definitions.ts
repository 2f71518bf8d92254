import type { InstantName } from './instant.ts';

/** How an instant is found, in words; the first is the default, the others may be asked for by name. */
export const INSTANT_DEFINITIONS: Readonly<Record<InstantName, Readonly<Record<string, string>>>> = {
  address: {
    'last stillness':
      'The last moment before takeaway at which the club head moves slower than 0.1 m/s (positions filtered at 10 Hz); the slowest of the second before takeaway where it never does.',
  },
  takeaway: {
    'head speed':
      'The club head speed (positions filtered at 10 Hz) passes 0.2 m/s for the last time before the backswing, the head being near the ball, and stays above.',
  },
  top: {
    'club reversal':
      'The shaft (grip to head; positions filtered at 10 Hz) turns round: its least angular speed in the middle half of its whole turn from takeaway to impact, read where its rate along the direction it accelerates in passes zero.',
    'lead arm reversal':
      'The same for the lead arm (shoulder to wrist), in the middle half of the turn of the shaft.',
    'pelvis reversal':
      'The hip line, seen from above, changes from turning away from the target to turning toward it: its smallest turn between takeaway and impact.',
  },
  'lead arm parallel': {
    'arm horizontal':
      'The lead wrist passes the height of the lead shoulder, downward, between top and impact.',
  },
  delivery: {
    'shaft horizontal':
      'The club head passes the height of the grip, downward, for the last time before impact.',
    'hands at hip height':
      'The grip passes the height of the middle of the hips, downward, for the last time before impact.',
  },
  impact: {
    'head at ball':
      'The path of the club head, a cubic fitted to its unfiltered frames before contact, is nearest to the ball; without a ball, to where the head was at address.',
  },
  'full extension': {
    'least flexion': 'The smallest trail elbow flexion in the quarter of a second after impact.',
  },
};
