import type { Motion } from '../motion.ts';
import { type ElbowDefinition, elbowDefinition } from './elbow-isb.ts';
import { pelvisTurn, type TurnDefinition, thoraxTurn } from './turns.ts';

/** The definitions of segment angles that the landmarks of a capture allow. */
export interface SegmentDefinitions {
  readonly pelvis: TurnDefinition;
  readonly thorax: TurnDefinition;
  /** Null without epicondyles and styloids. */
  readonly elbow: ElbowDefinition | null;
}

export function chooseDefinitions(motion: Motion): SegmentDefinitions {
  return { pelvis: pelvisTurn(motion), thorax: thoraxTurn(motion), elbow: elbowDefinition(motion) };
}
