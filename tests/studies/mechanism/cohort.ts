import type { RowsInput } from '../../../src/dataset/index.ts';
import { type Planted, plantedSwings } from '../../../src/studies/calibration/cases/planted-paths.ts';

/** Planted swings as rows of a dataset. */
export function plantedRows(planted: Planted, seed: number): RowsInput {
  const swings = plantedSwings(planted, seed);
  const golfers = [...new Set(swings.map(({ golfer }) => golfer))];
  const sessions = [...new Set(swings.map(({ session }) => session))];
  const { error = {} } = planted;
  return {
    golfers: golfers.map((golfer) => ({ golfer_id: golfer, plays: 'right' as const })),
    sessions: sessions.map((session) => ({
      session_id: session,
      golfer_id: session.slice(0, 4),
      date: `2026-03-${String(Number(session.slice(5)) + 1).padStart(2, '0')}`,
      phase: 'baseline' as const,
      device: 'D1',
    })),
    swings: swings.map(({ swing, session, order, values }) => ({
      swing_id: swing,
      session_id: session,
      order_in_session: order!,
      task: 'full' as const,
      club: 'mid-iron',
      speed_intent_pct: 100,
      ...values,
      ground_first: values.ground_first === 1,
      ...(error.elbow === undefined ? {} : { transition_elbow_change_deg_sd: error.elbow }),
      ...(error.release === undefined ? {} : { release_onset_ms_sd: error.release }),
    })) as unknown as NonNullable<RowsInput['swings']>,
  };
}
