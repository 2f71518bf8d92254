import { isbElbow } from '../angle/isb-elbow.ts';
import { thoraxFrame } from '../geometry/isb-frames.ts';
import { shoulderFromAcromion } from '../geometry/shoulder-centre.ts';
import type { Vector } from '../geometry/vector.ts';
import type { Motion } from '../motion.ts';
import type { AtInstant } from './reader.ts';
import { hasAll, THORAX_LANDMARKS } from './turns.ts';

/** The trail elbow by ISB frames, and what stands for the centre of the shoulder. */
export interface ElbowDefinition {
  readonly shoulder:
    | 'centre given'
    | 'estimated below the acromion'
    | 'shoulder marker standing for the centre';
  readonly landmarks: readonly string[];
  /** Flexion, deg. */
  readonly measure: (at: AtInstant) => number;
}

const ARM = [
  'trail_lateral_epicondyle',
  'trail_medial_epicondyle',
  'trail_radial_styloid',
  'trail_ulnar_styloid',
] as const;
const ACROMIONS = ['trail_acromion', 'lead_acromion'] as const;

/** How the ISB elbow can be read from the landmarks that there are; null without epicondyles and styloids. */
export function elbowDefinition(motion: Motion): ElbowDefinition | null {
  const { definition, landmarks, shoulder } = shoulderOf(motion);
  if (!hasAll(motion, [...ARM, ...landmarks])) return null;
  return {
    shoulder: definition,
    landmarks: [...ARM, ...landmarks],
    // The trail arm of every golfer is the right one, once a left-hander is mirrored.
    measure: (at) =>
      isbElbow({
        shoulder: shoulder(at),
        lateral_epicondyle: at.position('trail_lateral_epicondyle'),
        medial_epicondyle: at.position('trail_medial_epicondyle'),
        radial_styloid: at.position('trail_radial_styloid'),
        ulnar_styloid: at.position('trail_ulnar_styloid'),
      }).flexion_deg,
  };
}

function shoulderOf(motion: Motion): {
  readonly definition: ElbowDefinition['shoulder'];
  readonly landmarks: readonly string[];
  readonly shoulder: (at: AtInstant) => Vector;
} {
  if (motion.landmarks.has('trail_shoulder_centre'))
    return {
      definition: 'centre given',
      landmarks: ['trail_shoulder_centre'],
      shoulder: (at) => at.position('trail_shoulder_centre'),
    };
  if (hasAll(motion, [...ACROMIONS, ...THORAX_LANDMARKS]))
    return {
      definition: 'estimated below the acromion',
      landmarks: [...ACROMIONS, ...THORAX_LANDMARKS],
      shoulder: (at) => {
        const [c7, t8, ij, px] = THORAX_LANDMARKS.map((name) => at.position(name)) as [
          Vector,
          Vector,
          Vector,
          Vector,
        ];
        return shoulderFromAcromion(
          at.position('trail_acromion'),
          at.position('lead_acromion'),
          thoraxFrame({ c7, t8, ij, px }),
        );
      },
    };
  return {
    definition: 'shoulder marker standing for the centre',
    landmarks: ['trail_shoulder'],
    shoulder: (at) => at.position('trail_shoulder'),
  };
}
