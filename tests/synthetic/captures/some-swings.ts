import { createStream } from '../../../src/numerics/index.ts';
import { planeSwing, type SwingToCapture } from '../../../src/synthetic/captures/index.ts';
import {
  DRIVES_ELBOW_IN_TIMINGS,
  HOLDS_TIMINGS,
  OPENS_EARLY_TIMINGS,
  SKILLED_BODY,
  SKILLED_TIMINGS,
  type SwingBody,
  type SwingTimings,
} from '../../../src/synthetic/mechanics/index.ts';

const BASES = [SKILLED_TIMINGS, HOLDS_TIMINGS, OPENS_EARLY_TIMINGS, DRIVES_ELBOW_IN_TIMINGS];

/** Swings of bodies and timings that differ, every third by a left-hander; those only that reach the ball. Invented. */
export function someSwings(count: number, seed = 1): SwingToCapture[] {
  const swings: SwingToCapture[] = [];
  for (let i = 0; swings.length < count; i++) {
    if (i > 5 * count) throw new Error('someSwings: too few of these bodies and timings reach the ball.');
    const stream = createStream(seed, 'some swings', i);
    const swing: SwingToCapture = {
      swing_id: `W${i + 1}`,
      plays: i % 3 === 2 ? 'left' : 'right',
      body: sized(1 + stream.normal(0, 0.03), 63 + stream.normal(0, 2)),
      timings: moved(BASES[i % BASES.length]!, stream.normal(0, 0.002)),
    };
    if (!('fault' in planeSwing(swing.body, swing.timings, 0.8))) swings.push(swing);
  }
  return swings;
}

/** A body of another size in the same proportions: lengths by the factor, masses by its cube. */
function sized(by: number, planeInclination_deg: number): SwingBody {
  const body = SKILLED_BODY;
  const segment = (s: SwingBody['trunk']): SwingBody['trunk'] => ({
    length_m: s.length_m * by,
    mass_kg: s.mass_kg * by ** 3,
    firstMoment_kg_m: s.firstMoment_kg_m * by ** 4,
    inertia_kg_m2: s.inertia_kg_m2 * by ** 5,
  });
  const { shoulderAngle_rad, ...arm } = body.trailArm;
  const lengths = Object.fromEntries(
    Object.entries(arm).map(([key, value]) => [key, typeof value === 'number' ? value * by : value]),
  ) as typeof arm;
  return {
    ...body,
    planeInclination_deg,
    trunk: segment(body.trunk),
    leadArm: segment(body.leadArm),
    trailArm: { ...lengths, shoulderAngle_rad },
    ballAhead_m: body.ballAhead_m * by,
  };
}

function moved(timings: SwingTimings, by_s: number): SwingTimings {
  return {
    ...timings,
    wrist: timings.wrist.map((torque) => ({ ...torque, onset_s: Math.max(0, torque.onset_s + by_s) })),
  };
}
