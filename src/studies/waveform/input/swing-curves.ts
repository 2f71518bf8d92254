import type { CurveSet, Dataset } from '../../../dataset/index.ts';
import type { CubicSpline } from '../../../numerics/index.ts';
import { type Phase, type RosterSession, rosterSessions, rosterSwings } from '../../shared/roster.ts';
import type { StudyProblem } from '../../study.ts';
import { usableCurve } from './usable-curve.ts';

/** A full swing whose curve can be used. */
export interface SwingCurve {
  readonly swing: string;
  readonly session: string;
  readonly golfer: string;
  readonly phase: Phase;
  /** Over per cent of the downswing. */
  readonly spline: CubicSpline;
  readonly downswing_ms: number | null;
  /** Per cent of the downswing at which instants between top and impact were. */
  readonly instants: ReadonlyMap<string, number>;
}

export interface SwingCurves {
  readonly golfers: readonly string[];
  readonly sessions: readonly RosterSession[];
  readonly swings: readonly SwingCurve[];
  readonly leftOut: readonly { readonly id: string; readonly why: string }[];
}

export type ReadSwingCurves =
  | { readonly ok: true; readonly value: SwingCurves }
  | { readonly ok: false; readonly problems: readonly StudyProblem[] };

/** Puts the curves of one quantity to the swings of a dataset; a curve of a swing that is not there is a problem. */
export function swingCurves(
  dataset: Dataset,
  curves: CurveSet,
  quantity: string,
  phaseOf: (phase: Phase) => Phase,
): ReadSwingCurves {
  const sessions = rosterSessions(dataset).map((row) => ({ ...row, phase: phaseOf(row.phase) }));
  const sessionOf = new Map(sessions.map((row) => [row.session, row]));
  const rows = rosterSwings(dataset, 'downswing_ms');
  const known = new Set(rows.map(({ swing }) => swing));
  const strangers = [
    ...new Set([...curves.curves.map(({ swing }) => swing), ...curves.instants.keys()]),
  ].filter((swing) => !known.has(swing));
  if (strangers.length > 0)
    return {
      ok: false,
      problems: strangers.map((swing) => ({
        where: curves.files[0]?.file ?? 'the curves',
        found: `the swing ${swing}`,
        expected: 'a swing_id that is in swings.csv',
        remedy: 'Correct the id, add the swing to swings.csv, or take its curves away.',
      })),
    };
  const own = new Map(
    curves.curves.filter((curve) => curve.quantity === quantity).map((curve) => [curve.swing, curve]),
  );
  const used: SwingCurve[] = [];
  const leftOut: { id: string; why: string }[] = [];
  for (const { swing, session, task, value } of rows) {
    const curve = own.get(swing);
    const spline =
      task !== 'full'
        ? 'not a full swing'
        : curve === undefined
          ? 'no curve of this quantity'
          : usableCurve(curve);
    const { golfer = '', phase = 'baseline' } = sessionOf.get(session) ?? {};
    if (typeof spline === 'string') leftOut.push({ id: swing, why: spline });
    else
      used.push({
        swing,
        session,
        golfer,
        phase,
        spline,
        downswing_ms: value,
        instants: curves.instants.get(swing) ?? new Map(),
      });
  }
  const golfers = dataset.tables.golfers.column('golfer_id').map((golfer) => golfer ?? '');
  return { ok: true, value: { golfers, sessions, swings: used, leftOut } };
}
