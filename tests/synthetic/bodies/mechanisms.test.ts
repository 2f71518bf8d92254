import { describe, expect, it } from 'vitest';
import { createStream } from '../../../src/numerics/index.ts';
import {
  drawGolfer,
  type MechanicalValues,
  mechanicalSwing,
  SIMULATED_GOLFERS,
} from '../../../src/synthetic/bodies/index.ts';
import { applyTimingShift, type TimingShift } from '../../../src/synthetic/mechanics/index.ts';

const golfers = Array.from({ length: 60 }, (_, g) =>
  drawGolfer(SIMULATED_GOLFERS, 1, createStream(31, 'mechanism', g)),
);

/** For which share of golfers something holds of a changed swing against the golfer's own. */
function shareOf(
  shift: TimingShift,
  holds: (changed: MechanicalValues, own: MechanicalValues) => boolean,
): number {
  const hold = golfers.filter((golfer) => {
    const at = (by: TimingShift): MechanicalValues | null => {
      const swing = mechanicalSwing({ body: golfer.body, timings: applyTimingShift(golfer.timings, by) }, 27);
      return 'fault' in swing ? null : swing.values;
    };
    const [own, changed] = [at({}), at(shift)];
    return own !== null && changed !== null && holds(changed, own);
  });
  return hold.length / golfers.length;
}

describe('what a change of one timing does, over skilled golfers of many builds', () => {
  it('holding on to the angle of the wrist brings the release forward in nearly all of them', () => {
    expect(
      shareOf({ wrist_ms: 20 }, (held, own) => held.release_onset_ms! > own.release_onset_ms!),
    ).toBeGreaterThan(0.9);
    expect(shareOf({ wrist_ms: 20 }, (held, own) => held.lag_peak_deg! > own.lag_peak_deg!)).toBeGreaterThan(
      0.95,
    );
  });

  it('driving the arm off the chest sooner straightens the elbow sooner, brings the release forward and takes lean away', () => {
    expect(
      shareOf(
        { shoulder_ms: -10 },
        (early, own) => early.transition_elbow_change_deg! < own.transition_elbow_change_deg!,
      ),
    ).toBeGreaterThan(0.95);
    expect(
      shareOf({ shoulder_ms: -10 }, (early, own) => early.release_onset_ms! > own.release_onset_ms!),
    ).toBeGreaterThan(0.9);
    expect(
      shareOf(
        { shoulder_ms: -10 },
        (early, own) => early.shaft_lean_impact_deg! < own.shaft_lean_impact_deg!,
      ),
    ).toBeGreaterThan(0.9);
  });
});
