import { createStream } from '../../../src/numerics/index.ts';
import {
  drawGolfer,
  drawSession,
  drawSwing,
  SIMULATED_GOLFERS,
} from '../../../src/synthetic/bodies/index.ts';
import { planeSwing, type SwingToCapture } from '../../../src/synthetic/captures/index.ts';

/** Swings of as many simulated golfers, half of them skilled, every third a left-hander; those only that reach the ball. Invented. */
export function someSwings(count: number, seed = 1): SwingToCapture[] {
  const swings: SwingToCapture[] = [];
  for (let i = 0; swings.length < count; i++) {
    if (i > 2 * count + 5) throw new Error('someSwings: too few of these golfers reach the ball.');
    const stream = createStream(seed, 'some swings', i);
    const golfer = drawGolfer(SIMULATED_GOLFERS, i % 2, stream.sub('golfer'));
    const day = drawSession(SIMULATED_GOLFERS, golfer, stream.sub('day'));
    const drawn = drawSwing(SIMULATED_GOLFERS, golfer, day, 5, stream.sub('swing'));
    const swing: SwingToCapture = { swing_id: `W${i + 1}`, plays: i % 3 === 2 ? 'left' : 'right', ...drawn };
    if (!('fault' in planeSwing(swing.body, swing.timings, 0.8))) swings.push(swing);
  }
  return swings;
}
