import type { Source } from '../recipe/recipe.ts';

/**
 * Where the constants of the mechanics come from. What is published stands in the list of literature under the same quantity; a design
 * assumption was chosen by us, was measured on nobody and is never to be cited.
 */
export const MECHANICS_SOURCES = {
  'jorgensen-arm': {
    kind: 'published',
    confidence: 'read in source',
    quantity: 'Jorgensen model arm length R / arm inertia about shoulder J / arm mass / arm balance',
    value: [0.62, 1.15, 7.3, 0.5],
    unit: 'm, kg m^2, kg, fraction',
    source:
      'Jorgensen TP. The Physics of Golf, 2nd ed. 1999 (Technical Appendix); parameters as reproduced in Bourg DM. Physics for Game Developers. 2002, ch. 19',
  },
  'jorgensen-club': {
    kind: 'published',
    confidence: 'read in source',
    quantity: 'Jorgensen model club mass / length L / inertia / balance point',
    value: [0.4, 1.1, 0.08, 0.75],
    unit: 'kg, m, kg m^2, fraction',
    source:
      'Jorgensen TP. The Physics of Golf, 2nd ed. 1999 (Technical Appendix); parameters as reproduced in Bourg DM. Physics for Game Developers. 2002, ch. 19',
    note: 'The inertia is smaller than mass times squared distance of the centre, so it cannot be the one about the wrist for which the equations use it.',
  },
  'iron-club': {
    kind: 'check value',
    confidence: 'computed here',
    quantity: 'natural-release invariant',
    value: { R: 0.62, M: 0.42, d: 0.66, Jc: 0.245, release_deg: 40.8389 },
    source: 'derived and verified numerically here',
  },
  proportions: {
    kind: 'published',
    confidence: 'from memory',
    quantity: 'upper arm, forearm and hand as shares of height',
    value: [0.186, 0.146, 0.108],
    unit: 'share of height',
    source:
      'Drillis R, Contini R. Body segment parameters. 1966; as drawn in Winter DA. Biomechanics and Motor Control of Human Movement',
  },
  design: {
    kind: 'design assumption',
    confidence: 'none',
    quantity:
      'found by search so that the outcome lies within what is published of skilled golfers and what teachers commonly say of their trail elbow',
  },
} as const satisfies Readonly<Record<string, Source>>;

/** The key of a published source of the mechanics. */
export type MechanicsSource = keyof typeof MECHANICS_SOURCES;

/** For each number of SKILLED_BODY, by its path, the key of its source; `*` stands for all that are not named. */
export const SKILLED_BODY_SOURCES: Readonly<Record<string, MechanicsSource>> = {
  'leadArm.length_m': 'jorgensen-arm',
  'leadArm.mass_kg': 'jorgensen-arm',
  'leadArm.firstMoment_kg_m': 'jorgensen-arm',
  'leadArm.inertia_kg_m2': 'jorgensen-arm',
  'club.mass_kg': 'iron-club',
  'club.firstMoment_kg_m': 'iron-club',
  'club.inertia_kg_m2': 'iron-club',
  'trailArm.upperArm_m': 'proportions',
  'trailArm.elbowToGrip_m': 'proportions',
  '*': 'design',
};
