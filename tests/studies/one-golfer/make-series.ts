import type { Dataset, RowsInput } from '../../../src/dataset/index.ts';
import { datasetOf } from '../simulate.ts';

type Phase = 'baseline' | 'training' | 'post' | 'retention';

/** A golfer's sessions: phase and mean of each; every session has the same swings round its mean. */
export interface MadeGolfer {
  readonly golfer: string;
  readonly sessions: readonly (readonly [phase: Phase, mean: number])[];
  readonly device?: (session: number) => string;
}

type Rows = Required<Pick<RowsInput, 'golfers' | 'sessions' | 'swings'>>;

/** Two swings a session, 0.5 either side of the mean, so that means are exactly those given. */
export function seriesRows(golfers: readonly MadeGolfer[]): Rows {
  return {
    golfers: golfers.map(({ golfer }) => ({ golfer_id: golfer, plays: 'right' as const })),
    sessions: golfers.flatMap(({ golfer, sessions, device }) =>
      sessions.map(([phase], i) => ({
        session_id: `${golfer}-S${i + 1}`,
        golfer_id: golfer,
        date: new Date(Date.UTC(2026, 0, 5 + 3 * i)).toISOString().slice(0, 10),
        phase,
        ...(device === undefined ? {} : { device: device(i) }),
      })),
    ),
    swings: golfers.flatMap(({ golfer, sessions }) =>
      sessions.flatMap(([, mean], i) =>
        [-0.5, 0.5].map((off, k) => ({
          swing_id: `${golfer}-S${i + 1}-${k + 1}`,
          session_id: `${golfer}-S${i + 1}`,
          order_in_session: k + 1,
          task: 'full' as const,
          shaft_lean_impact_deg: mean + off,
        })),
      ),
    ),
  };
}

export function seriesDataset(golfers: readonly MadeGolfer[]): Dataset {
  return datasetOf(seriesRows(golfers));
}

/** Sessions of phases in turn: `of([['baseline', [1, 2]], ['training', [3]]])`. */
export function phased(phases: readonly (readonly [Phase, readonly number[]])[]): MadeGolfer['sessions'] {
  return phases.flatMap(([phase, means]) => means.map((mean) => [phase, mean] as const));
}

/** Noise that repeats, SD about 0.8, round a level. */
export function round(level: number, n: number, from = 0): number[] {
  const noise = [0.3, -0.9, 1.1, -0.4, 0.7, -1.2, 0.2, 0.9, -0.6, -0.1, 0.5, -0.8];
  return Array.from({ length: n }, (_, i) => level + noise[(i + from) % noise.length]!);
}
