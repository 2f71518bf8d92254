import { dot, norm, subtract, type Vector } from './geometry/vector.ts';
import { pointOf } from './instants/strike.ts';
import type { Layout } from './layout/layout.ts';
import { type Motion, stateBeforeImpact } from './motion.ts';
import type { CaptureProblem } from './problem.ts';

/**
 * Whether what the layout says of target, hand and sides agrees with the swing: the head travels toward the target at
 * impact, the golfer stands on the near side of the ball at address, the lead side is nearer to the target there, and
 * each arm keeps its lengths.
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
  const at = (name: string): Vector | null => {
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
        remedy: EXCHANGE,
      });
  }
  if (problems.length === 0) problems.push(...crossedArms(motion, addressFrame));
  return problems;
}

const EXCHANGE = 'Exchange the channels of lead and trail (or left and right) in the layout.';

/** A bone keeps its length; joined to the other arm's joint it would vary this much more, at the least. */
const CLEARLY = 2;

/** Shoulders and elbows, or elbows and wrists, that keep their distance only when joined crosswise. */
function crossedArms(motion: Motion, from: number): CaptureProblem[] {
  for (const [upper, lower] of [
    ['shoulder', 'elbow'],
    ['elbow', 'wrist'],
  ] as const) {
    const spread = (a: string, b: string): number =>
      lengthSpread(motion, `${a}_${upper}`, `${b}_${lower}`, from);
    const named = spread('lead', 'lead') + spread('trail', 'trail');
    const crossed = spread('lead', 'trail') + spread('trail', 'lead');
    if (named > CLEARLY * crossed)
      return [
        {
          where: `layout /landmarks/lead_${lower}`,
          found: `an ${lower === 'elbow' ? 'upper arm' : 'forearm'} on either side that keeps its length only with the other side's ${lower}`,
          expected: `lead ${lower} with lead ${upper}, trail with trail`,
          remedy: EXCHANGE,
        },
      ];
  }
  return [];
}

/** Standard deviation of the distance of two landmarks from a frame to impact, m; NaN where one of them is absent. */
function lengthSpread(motion: Motion, a: string, b: string, from: number): number {
  const [p, q] = [motion.landmarks.get(a)?.smooth, motion.landmarks.get(b)?.smooth];
  if (!p || !q || motion.split === null) return Number.NaN;
  let [count, sum, squares] = [0, 0, 0];
  for (let i = Math.floor(from); i <= motion.split; i++) {
    const length = norm(subtract(pointOf(q, i), pointOf(p, i)));
    if (Number.isNaN(length)) continue;
    count++;
    sum += length;
    squares += length * length;
  }
  return Math.sqrt(Math.max(0, squares / count - (sum / count) ** 2));
}
