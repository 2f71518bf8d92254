import type { Vector } from '../geometry/vector.ts';
import { DELIVERY_LANDMARKS, type InstantChoice } from '../instants/find-instants.ts';
import { timeToBall } from '../instants/impact.ts';
import type { InstantName } from '../instants/instant.ts';
import type { Sample } from '../uncertainty.ts';

/** How much later an instant falls, s, when the landmarks of a sample move. */
export type Shift = (sample: Sample, accelerations: readonly Vector[]) => number;

/** The landmarks whose noise moves an instant, and how, given the place of each landmark in a sample. */
export interface Trigger {
  readonly names: readonly string[];
  readonly shift: (index: (name: string) => number) => Shift;
}

/** What an instant hangs on, or null where that is no single height or passing. */
export function triggerOf(
  name: InstantName,
  ball: Vector | null,
  choice: InstantChoice,
  impactKnown: boolean,
): Trigger | null {
  if (name === 'impact') return ball && impactKnown ? passingOf(ball) : null;
  if (name === 'lead arm parallel') return levelOf(['lead_wrist'], ['lead_shoulder']);
  if (name === 'delivery') {
    const [above, below] = DELIVERY_LANDMARKS[choice.delivery];
    return levelOf(above, below);
  }
  return null;
}

/** The head passing the ball. */
function passingOf(ball: Vector): Trigger {
  return {
    names: ['club_head'],
    shift: (index) => (sample, accelerations) => {
      const i = index('club_head');
      return timeToBall(sample.positions[i]!, sample.velocities[i]!, accelerations[i]!, ball);
    },
  };
}

/** The mean height of some landmarks passing that of others. */
function levelOf(above: readonly string[], below: readonly string[]): Trigger {
  return {
    names: [...above, ...below],
    shift: (index) => (sample) => {
      const mean = (names: readonly string[], part: 'positions' | 'velocities'): number =>
        names.reduce((sum, n) => sum + sample[part][index(n)]![1], 0) / names.length;
      const height = mean(above, 'positions') - mean(below, 'positions');
      return -height / (mean(above, 'velocities') - mean(below, 'velocities'));
    },
  };
}
