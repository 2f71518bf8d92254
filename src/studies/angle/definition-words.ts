import type { PointTable } from '../../kinematics/index.ts';

export const DEFINITION_WORDS = {
  'three-point-elbow': {
    label: 'the three-point elbow angle',
    meaning: 'How far the elbow is bent: 180 degrees minus the angle between upper arm and forearm.',
    names: ['angle_deg'],
    version: '1.0',
  },
  'isb-elbow': {
    label: 'the ISB elbow angle',
    meaning:
      'Turn of the forearm in the frame of the upper arm, taken apart in the sequence Z-X-Y: flexion, carrying angle, pronation (Wu et al. 2005).',
    names: ['flexion_deg', 'carrying_deg', 'pronation_deg'],
    version: '1.0',
  },
} as const;

/**
 * The angles that a definition gives, by the names under which they are published.
 * @example angleNames('isb-elbow') // ['flexion_deg', 'carrying_deg', 'pronation_deg']
 */
export function angleNames(definition: PointTable['definition']): readonly string[] {
  return DEFINITION_WORDS[definition].names;
}
