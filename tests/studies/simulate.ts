import { type Dataset, datasetFromRows, type RowsInput } from '../../src/dataset/index.ts';
import { createStream } from '../../src/numerics/index.ts';

/** A small trial with known truth, drawn from the model the study assumes; every number is in degrees. */
export interface Truth {
  readonly golfersPerArm: number;
  readonly arms: readonly { readonly arm: string; readonly effect: number; readonly retained?: number }[];
  readonly swings?: number;
  readonly sessions?: number;
  readonly mean?: number;
  /** Change of everybody from before to after. */
  readonly practice?: number;
  readonly betweenSd?: number;
  /** SD of golfers' own changes, in every arm. */
  readonly changeSd?: number;
  /** SD of responses to the drill, in arms with an effect. */
  readonly responseSd?: number;
  readonly sessionSd?: number;
  readonly swingSd?: number;
  readonly phases?: readonly ('baseline' | 'training' | 'post' | 'retention')[];
  /** Effect at drill speed; swings of that task are made when it is given. */
  readonly drillSpeed?: number;
  /** Golfers (by position in the arm) who leave before post. */
  readonly leavers?: readonly number[];
}

const DATES = { baseline: '2026-03-02', training: '2026-03-20', post: '2026-04-13', retention: '2026-05-18' };

/** Rows of a parallel (or, with one arm, before/after) trial. */
export function trialRows(
  truth: Truth,
  seed: number,
): Required<Pick<RowsInput, 'golfers' | 'sessions' | 'swings' | 'assignments' | 'practice'>> {
  const {
    swings = 8,
    sessions = 1,
    mean = 5,
    practice = 0.5,
    betweenSd = 4,
    changeSd = 1,
    responseSd = 0,
  } = truth;
  const { sessionSd = 0.8, swingSd = 2, phases = ['baseline', 'post'] } = truth;
  const rows = {
    golfers: [] as never[],
    sessions: [] as never[],
    swings: [] as never[],
    assignments: [] as never[],
    practice: [] as never[],
  } as {
    [Key in 'golfers' | 'sessions' | 'swings' | 'assignments' | 'practice']: NonNullable<
      RowsInput[Key]
    >[number][];
  };
  let number = 0;
  for (const { arm, effect, retained = 1 } of truth.arms)
    for (let i = 0; i < truth.golfersPerArm; i++) {
      number += 1;
      const golfer = `G${String(number).padStart(3, '0')}`;
      const stream = createStream(seed, 'golfer', number);
      const level = mean + betweenSd * stream.normal();
      const change = practice + changeSd * stream.normal();
      const response = effect === 0 ? 0 : effect + responseSd * stream.normal();
      rows.golfers.push({ golfer_id: golfer, plays: number % 7 === 0 ? 'left' : 'right' });
      rows.assignments.push({ golfer_id: golfer, trial_id: 'T1', arm, assigned_on: '2026-03-05' });
      rows.practice.push({
        golfer_id: golfer,
        date: '2026-03-25',
        drill: 'towel',
        reps: stream.integer(100, 600),
      });
      for (const phase of phases) {
        if (phase !== 'baseline' && truth.leavers?.includes(i)) continue;
        const share = { baseline: 0, training: 0.5, post: 1, retention: retained }[phase];
        const moved = phase === 'baseline' ? 0 : change;
        for (let s = 0; s < sessions; s++) {
          const session = `${golfer}-${phase}-${s + 1}`;
          const day = sessionSd * stream.normal();
          const date = DATES[phase].replace(/\d\d$/, (text) => String(Number(text) + s).padStart(2, '0'));
          rows.sessions.push({ session_id: session, golfer_id: golfer, date, phase });
          for (const task of truth.drillSpeed === undefined
            ? (['full'] as const)
            : (['full', 'drill'] as const)) {
            const size = task === 'full' || effect === 0 ? response : response - effect + truth.drillSpeed!;
            for (let k = 0; k < swings; k++)
              rows.swings.push({
                swing_id: `${session}-${task}-${k + 1}`,
                session_id: session,
                order_in_session: (task === 'full' ? 0 : swings) + k + 1,
                task,
                shaft_lean_impact_deg: level + moved + share * size + day + swingSd * stream.normal(),
              });
          }
        }
      }
    }
  return rows;
}

export function datasetOf(rows: RowsInput): Dataset {
  const checked = datasetFromRows(rows);
  if (!checked.valid)
    throw new Error(`The rows of a test are not a dataset: ${JSON.stringify(checked.problems.slice(0, 5))}`);
  return checked.value;
}

export function simulatedTrial(truth: Truth, seed: number): Dataset {
  return datasetOf(trialRows(truth, seed));
}
