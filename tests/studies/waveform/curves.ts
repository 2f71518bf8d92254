import type { CurveSet } from '../../../src/dataset/index.ts';
import { createStream } from '../../../src/numerics/index.ts';
import { datasetOf } from '../simulate.ts';

/** A small roster with curves of known truth, in degrees; differences are bumps over per cent of the downswing. */
export interface CurveTruth {
  readonly golfersPerArm: number;
  readonly arms: readonly { readonly arm: string; readonly height: number }[];
  /** Where the bump begins and ends, % of the downswing; default 50 to 80. */
  readonly window?: readonly [number, number];
  readonly swings?: number;
  readonly phases?: readonly ('baseline' | 'post')[];
  readonly golferSd?: number;
  readonly changeSd?: number;
  readonly swingSd?: number;
  /** Height of a bump for each unit of height_cm over 175. */
  readonly perHeight?: number;
  /** When lead arm parallel and delivery come, by swing; none where absent. */
  readonly instants?: (arm: string, phase: string, swing: number) => Readonly<Record<string, number>>;
  readonly assigned?: boolean;
  readonly downswing_ms?: boolean;
}

export function curveRoster(truth: CurveTruth, seed: number) {
  const { window = [50, 80], swings = 3, phases = ['baseline', 'post'], perHeight = 0 } = truth;
  const { golferSd = 4, changeSd = 1, swingSd = 1, assigned = true, downswing_ms = true } = truth;
  const rows = {
    golfers: [] as object[],
    sessions: [] as object[],
    swings: [] as object[],
    assignments: [] as object[],
  };
  const curves: { swing: string; quantity: string; time_pct: Float64Array; values: Float64Array }[] = [];
  const instants = new Map<string, ReadonlyMap<string, number>>();
  const bump = (pct: number) => {
    const [from, to] = window;
    return pct <= from || pct >= to ? 0 : (1 - Math.cos((2 * Math.PI * (pct - from)) / (to - from))) / 2;
  };
  let number = 0;
  for (const { arm, height } of truth.arms)
    for (let i = 0; i < truth.golfersPerArm; i++) {
      number += 1;
      const golfer = `G${String(number).padStart(3, '0')}`;
      const stream = createStream(seed, 'curves', number);
      const tall = 175 + 8 * stream.normal();
      const own = wave(stream, golferSd);
      const change = wave(stream, changeSd);
      rows.golfers.push({ golfer_id: golfer, plays: 'right', height_cm: Math.round(10 * tall) / 10 });
      if (assigned)
        rows.assignments.push({ golfer_id: golfer, trial_id: 'T1', arm, assigned_on: '2026-03-05' });
      for (const phase of phases) {
        const session = `${golfer}-${phase}`;
        rows.sessions.push({
          session_id: session,
          golfer_id: golfer,
          date: phase === 'baseline' ? '2026-03-02' : '2026-04-13',
          phase,
        });
        for (let k = 1; k <= swings; k++) {
          const swing = `${session}-${k}`;
          const noise = wave(stream, swingSd);
          rows.swings.push({
            swing_id: swing,
            session_id: session,
            order_in_session: k,
            task: 'full',
            ...(downswing_ms ? { downswing_ms: Math.round(260 + 10 * stream.normal()) } : {}),
          });
          const time_pct = Float64Array.from({ length: 51 }, (_, s) => 2 * s);
          const after = phase === 'post' ? 1 : 0;
          curves.push({
            swing,
            quantity: 'trail_elbow_flexion',
            time_pct,
            values: time_pct.map(
              (pct) =>
                95 -
                0.6 * pct +
                own(pct) +
                noise(pct) +
                after * (change(pct) + height * bump(pct)) +
                perHeight * (tall - 175) * bump(pct),
            ),
          });
          if (truth.instants !== undefined)
            instants.set(swing, new Map(Object.entries(truth.instants(arm, phase, number * 10 + k))));
        }
      }
    }
  const set: CurveSet = { curves, instants, files: [{ file: 'curves.csv', sha256: 'a'.repeat(64) }] };
  return { rows, curves: set, dataset: datasetOf(rows as never) };
}

/** A smooth random curve: a level and three waves. */
function wave(stream: { normal(): number }, sd: number): (pct: number) => number {
  const sizes = Array.from({ length: 4 }, (_, k) => (sd * stream.normal()) / (k + 1));
  return (pct) => sizes.reduce((sum, size, k) => sum + size * Math.cos((k * Math.PI * pct) / 100), 0);
}
