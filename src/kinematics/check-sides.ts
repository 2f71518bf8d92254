import { dot, subtract } from './geometry/vector.ts';
import { pointOf } from './instants/strike.ts';
import type { Layout } from './layout/layout.ts';
import { type Motion, stateBeforeImpact } from './motion.ts';
import type { CaptureProblem } from './problem.ts';

/**
 * Whether what the layout says of target, hand and sides agrees with the swing: the head travels toward the target at
 * impact, the golfer stands on the near side of the ball at address, and the lead side is nearer to the target there.
 */
export function checkSides(
  motion: Motion,
  layout: Layout,
  addressFrame: number | null,
  impactFrame: number | null,
): CaptureProblem[] {
  const problems: CaptureProblem[] = [];
  const head = impactFrame === null ? null : stateBeforeImpact(motion, 'club_head', impactFrame);
  if (head && head.velocity[0] < 0)
    problems.push({
      where: 'layout /targetLine',
      found: 'a club head that travels away from the target at impact',
      expected: 'a direction in which the ball is struck',
      remedy: 'Turn the target line round: exchange from and to, or change the sign of the axis.',
    });
  if (addressFrame === null || problems.length > 0) return problems;
  const at = (name: string) => {
    const track = motion.landmarks.get(name)?.smooth;
    const point = track ? pointOf(track, addressFrame) : null;
    return point && !point.some(Number.isNaN) ? point : null;
  };
  const [clubHead, grip] = [at('club_head'), at('grip')];
  // Z points from the golfer to the ball once a left-hander is mirrored.
  if (clubHead && grip && dot([0, 0, 1], subtract(clubHead, grip)) < 0)
    problems.push({
      where: 'layout /plays',
      found: `${layout.plays}, and a golfer who stands on the other side of the ball`,
      expected: layout.plays === 'right' ? 'left' : 'right',
      remedy: 'Correct plays, or up and targetLine where one of them points the wrong way.',
    });
  for (const part of ['shoulder', 'hip'] as const) {
    const [lead, trail] = [at(`lead_${part}`), at(`trail_${part}`)];
    if (problems.length === 0 && lead && trail && lead[0] < trail[0])
      problems.push({
        where: `layout /landmarks/lead_${part}`,
        found: `a lead ${part} further from the target than the trail ${part} at address`,
        expected: `the ${part} nearer to the target`,
        remedy: 'Exchange the channels of lead and trail (or left and right) in the layout.',
      });
  }
  return problems;
}
