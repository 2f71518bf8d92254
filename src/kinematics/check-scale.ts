import { norm, subtract } from './geometry/vector.ts';
import { pointOf } from './instants/strike.ts';
import { type Layout, METRES_PER_UNIT } from './layout/layout.ts';
import type { Motion } from './motion.ts';
import type { CaptureProblem } from './problem.ts';

/** Lengths that a golfer of any age and club can have, m: shoulder to wrist by way of the elbow, and grip to head. */
const ARM_M = [0.28, 0.95] as const;
const CLUB_M = [0.45, 1.35] as const;

/**
 * Whether arms and club have the size of arms and a club. A capture in inches that the layout calls centimetres is two and
 * a half times too small, and so is every speed. Only said where club and arms agree on it and another unit would
 * put both right.
 */
export function checkScale(motion: Motion, layout: Layout, addressFrame: number | null): CaptureProblem[] {
  const along = (...names: string[]): number => {
    const points = names.map((name) => {
      const track = motion.landmarks.get(name)?.smooth;
      return track ? pointOf(track, addressFrame ?? 0) : null;
    });
    let length = 0;
    for (let i = 1; i < points.length; i++) {
      const [a, b] = [points[i - 1], points[i]];
      length += a && b ? norm(subtract(b, a)) : Number.NaN;
    }
    return length;
  };
  const club = along('grip', 'club_head');
  const arms = (['lead', 'trail'] as const)
    .map((side) => along(`${side}_shoulder`, `${side}_elbow`, `${side}_wrist`))
    .filter((length) => !Number.isNaN(length));
  const fits = (factor: number): boolean =>
    within(club * factor, CLUB_M) && arms.every((arm) => within(arm * factor, ARM_M));
  const wrong = !within(club, CLUB_M) && arms.every((arm) => !within(arm, ARM_M));
  if (Number.isNaN(club) || arms.length === 0 || !wrong) return [];
  const given = METRES_PER_UNIT[layout.lengthUnit];
  const better = Object.entries(METRES_PER_UNIT).filter(([, metres]) => fits(metres / given));
  if (better.length === 0) return [];
  return [
    {
      where: 'layout /lengthUnit',
      found: `${layout.lengthUnit}, with which the club is ${club.toFixed(2)} m long and an arm ${arms[0]!.toFixed(2)} m`,
      expected: better.map(([unit]) => unit).join(' or '),
      remedy: 'Correct lengthUnit to the unit of the coordinates.',
    },
  ];
}

const within = (value: number, [low, high]: readonly [number, number]): boolean =>
  value >= low && value <= high;
