import { lineTurn } from '../geometry/angles.ts';
import { axisOf } from '../geometry/frames.ts';
import { pelvisFrame, thoraxFrame } from '../geometry/isb-frames.ts';
import type { Vector } from '../geometry/vector.ts';
import type { Motion } from '../motion.ts';
import type { AtInstant } from './reader.ts';

/** How a turn is defined on the landmarks that there are. */
export interface TurnDefinition {
  readonly definition: 'ISB frame' | 'line across two landmarks';
  readonly landmarks: readonly string[];
  /** Degrees, + = open to the target. */
  readonly measure: (at: AtInstant) => number;
}

/** Landmarks of the ISB frames, as a layout names them. */
export const THORAX_LANDMARKS = ['c7', 't8', 'ij', 'px'] as const;
export const PELVIS_LANDMARKS = ['lead_asis', 'trail_asis', 'lead_psis', 'trail_psis'] as const;

/** Turn of the thorax: of its ISB frame where C7, T8, IJ and PX are there, else of the line across the shoulders. */
export function thoraxTurn(motion: Motion): TurnDefinition {
  if (!hasAll(motion, THORAX_LANDMARKS)) return lineDefinition('trail_shoulder', 'lead_shoulder');
  return frameDefinition(THORAX_LANDMARKS, (at) =>
    thoraxFrame({
      c7: at.position('c7'),
      t8: at.position('t8'),
      ij: at.position('ij'),
      px: at.position('px'),
    }),
  );
}

/** Turn of the pelvis: of its ISB frame where the four iliac spines are there, else of the line across the hips. */
export function pelvisTurn(motion: Motion): TurnDefinition {
  if (!hasAll(motion, PELVIS_LANDMARKS)) return lineDefinition('trail_hip', 'lead_hip');
  return frameDefinition(PELVIS_LANDMARKS, (at) =>
    // Once a left-hander is mirrored, every golfer's trail side is the right one.
    pelvisFrame({
      rightAsis: at.position('trail_asis'),
      leftAsis: at.position('lead_asis'),
      rightPsis: at.position('trail_psis'),
      leftPsis: at.position('lead_psis'),
    }),
  );
}

export function hasAll(motion: Motion, landmarks: readonly string[]): boolean {
  return landmarks.every((name) => motion.landmarks.has(name));
}

const ORIGIN: Vector = [0, 0, 0];

/** The z axis of a frame points to the trail side, so the turn is that of the line against it. */
function frameDefinition(
  landmarks: readonly string[],
  frame: (at: AtInstant) => Parameters<typeof axisOf>[0],
): TurnDefinition {
  return {
    definition: 'ISB frame',
    landmarks,
    measure: (at) => lineTurn(axisOf(frame(at), 2), ORIGIN),
  };
}

function lineDefinition(trail: string, lead: string): TurnDefinition {
  return {
    definition: 'line across two landmarks',
    landmarks: [lead, trail],
    measure: (at) => lineTurn(at.position(trail), at.position(lead)),
  };
}
