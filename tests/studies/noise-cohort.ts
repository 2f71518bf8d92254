import type { Dataset, RowsInput } from '../../src/dataset/index.ts';
import { createStream } from '../../src/numerics/index.ts';
import { datasetOf } from './simulate.ts';

/** Golfers measured again and again, of known variances in degrees; nothing is taught. */
export interface NoiseTruth {
  readonly golfers: number;
  readonly sessions: number;
  readonly swings: number;
  readonly betweenSd?: number;
  readonly sessionSd?: number;
  readonly swingSd?: number;
  /** Second device on the same swings: what it adds, and its own error. */
  readonly second?: { readonly bias: number; readonly errorSd: number };
  /** Sessions and swings to leave out at random, a share. */
  readonly missing?: number;
  readonly phase?: 'baseline' | 'training' | 'post' | 'retention';
}

/** Rows of a roster for the study on noise. */
export function noiseRows(truth: NoiseTruth, seed: number): RowsInput & { swings: object[] } {
  const { betweenSd = 4, sessionSd = 1, swingSd = 2, second, missing = 0, phase = 'baseline' } = truth;
  const golfers: object[] = [];
  const sessions: object[] = [];
  const swings: object[] = [];
  const devices = second === undefined ? ['one'] : ['one', 'two'];
  for (let g = 1; g <= truth.golfers; g++) {
    const golfer = `G${String(g).padStart(3, '0')}`;
    const stream = createStream(seed, 'golfer', g);
    const level = 6 + betweenSd * stream.normal();
    golfers.push({ golfer_id: golfer, plays: 'right' });
    for (let s = 1; s <= truth.sessions; s++) {
      const day = sessionSd * stream.normal();
      const date = `2026-03-${String(2 * s).padStart(2, '0')}`;
      devices.forEach((device) => {
        sessions.push({ session_id: `${golfer}-${s}-${device}`, golfer_id: golfer, date, phase, device });
      });
      for (let k = 1; k <= truth.swings; k++) {
        const value = level + day + swingSd * stream.normal();
        if (k > 1 && stream.uniform() < missing) continue;
        devices.forEach((device, d) => {
          const error = d === 0 ? 0 : second!.bias + second!.errorSd * stream.normal();
          swings.push({
            swing_id: `${golfer}-${s}-${device}-${k}`,
            session_id: `${golfer}-${s}-${device}`,
            order_in_session: k,
            task: 'full',
            shaft_lean_impact_deg: value + error,
          });
        });
      }
    }
  }
  return { golfers, sessions, swings } as unknown as RowsInput & { swings: object[] };
}

export const noiseCohort = (truth: NoiseTruth, seed: number): Dataset => datasetOf(noiseRows(truth, seed));
