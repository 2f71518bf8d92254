import { elbowSketch, isbElbowSketch, lagSketch } from './arm-sketches.ts';
import { attackSketch, loftSketch, lowPointSketch, offsetSketch, speedSketch } from './club-sketches.ts';
import { elbowCourseSketch, lagCourseSketch } from './course-sketches.ts';
import { pathSketch, planeSketch, trunkSketch } from './ground-sketches.ts';
import { lagPlaneSketch, leanPlaneSketch, leanSketch, turnSketch } from './plane-sketches.ts';
import type { Sketch } from './sketch.ts';

/** Definitions that share a drawing, by the ids of the catalogue, in the order of the page. */
export interface Family {
  readonly id: string;
  readonly title: string;
  readonly sketches: readonly (() => Sketch)[];
  readonly members: readonly string[];
}

export const families: readonly Family[] = [
  {
    id: 'elbow-bend',
    title: 'Bend of the trail elbow',
    sketches: [elbowSketch, isbElbowSketch],
    members: [
      'trail_elbow_flexion',
      'trail_elbow_flexion_isb',
      'trail_elbow_flexion_face_on',
      'trail_elbow_flexion_top',
      'trail_elbow_flexion_peak',
      'trail_elbow_flexion_arm_parallel',
      'trail_elbow_flexion_impact',
    ],
  },
  {
    id: 'elbow-course',
    title: 'The elbow from the top to impact',
    sketches: [elbowCourseSketch],
    members: [
      'elbow_recoil',
      'transition_elbow_change',
      'elbow_extension_onset',
      'elbow_extension_speed_peak',
    ],
  },
  {
    id: 'lag',
    title: 'Lag',
    sketches: [lagSketch, lagPlaneSketch],
    members: [
      'lag_angle',
      'lag_angle_plane',
      'lag_face_on',
      'lag_top',
      'lag_peak',
      'lag_delivery',
      'lag_impact',
    ],
  },
  {
    id: 'release',
    title: 'Release',
    sketches: [lagCourseSketch],
    members: ['release_onset', 'release_timing', 'downswing'],
  },
  {
    id: 'lean',
    title: 'Shaft lean and the swing plane',
    sketches: [leanSketch, leanPlaneSketch, planeSketch],
    members: [
      'shaft_lean',
      'shaft_lean_impact',
      'shaft_lean_plane_impact',
      'swing_plane_inclination',
      'swing_plane_direction',
    ],
  },
  {
    id: 'turn',
    title: 'Turn of pelvis and thorax',
    sketches: [turnSketch, trunkSketch],
    members: ['pelvis_turn', 'pelvis_turn_impact', 'thorax_turn', 'thorax_turn_impact'],
  },
  {
    id: 'speed',
    title: 'Speeds',
    sketches: [speedSketch],
    members: ['hand_speed', 'hand_speed_peak', 'club_speed', 'ball_speed', 'smash_factor'],
  },
  {
    id: 'path',
    title: 'Attack angle, low point and path',
    sketches: [attackSketch, lowPointSketch, pathSketch],
    members: ['attack_angle', 'low_point', 'low_point_arc', 'club_path', 'path_shift'],
  },
  { id: 'loft', title: 'Loft', sketches: [loftSketch], members: ['dynamic_loft', 'spin_loft'] },
  {
    id: 'strike',
    title: 'Strike',
    sketches: [offsetSketch],
    members: ['impact_offset', 'strike_rating', 'ground_first'],
  },
];
