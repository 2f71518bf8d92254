import { describe, expect, it } from 'vitest';
import { datasetFromRows, type RowsInput } from '../../src/dataset/index.ts';
import { studies } from '../../src/studies/index.ts';

/** Three golfers over six sessions, each swing with the value given by golfer. */
function roster(valueAt: (golfer: number, session: number, swing: number) => number): RowsInput {
  const golfers = [0, 1, 2].map((g) => ({ golfer_id: `G${g}`, plays: 'right' as const }));
  const sessions = golfers.flatMap(({ golfer_id }) =>
    Array.from({ length: 6 }, (_, s) => ({
      session_id: `${golfer_id}-S${s}`,
      golfer_id,
      date: `2026-03-0${s + 1}`,
      phase: s < 3 ? ('baseline' as const) : ('post' as const),
    })),
  );
  const swings = sessions.flatMap(({ session_id }, index) =>
    Array.from({ length: 4 }, (_, k) => ({
      swing_id: `${session_id}-${k}`,
      session_id,
      order_in_session: k + 1,
      task: 'full' as const,
      shaft_lean_impact_deg: valueAt(Math.floor(index / 6), index % 6, k),
    })),
  );
  return { golfers, sessions, swings };
}

function run(name: 'noise' | 'one-golfer', rows: RowsInput) {
  const made = datasetFromRows(rows);
  if (!made.valid) throw new Error('the roster does not pass its own check');
  return studies[name].run(made.value, name === 'one-golfer' ? { golfers: ['G1'] } : {});
}

describe('a number that never varies', () => {
  it.each(['noise', 'one-golfer'] as const)('is refused in words by %s, with no number', (name) => {
    const outcome = run(
      name,
      roster((golfer) => 4 + golfer),
    );
    expect(outcome.ok).toBe(false);
    if (!outcome.ok) expect(outcome.problems[0]!.found).toContain('one and the same value');
  });

  it.each(['noise', 'one-golfer'] as const)('is not taken for one that varies a little: %s', (name) => {
    const outcome = run(
      name,
      roster((golfer, session, swing) => 4 + golfer + 0.1 * ((session * 7 + swing * 3) % 5)),
    );
    expect(outcome.ok).toBe(true);
  });
});
