import type { Dataset, Plan, SwingCells } from '../../../dataset/index.ts';
import { plannedExclusions } from '../../shared/exclusions.ts';
import type { CountedLeftOut } from '../../shared/left-out.ts';
import { rosterSessions } from '../../shared/roster.ts';
import type { StudyProblem } from '../../study.ts';
import type { MechanismChoice } from './choice.ts';
import { PREDICTORS } from './columns.ts';
import { summedSwings } from './summed-swings.ts';
import { type Asked, extractSwings } from './swings.ts';

type Outcome =
  | { readonly ok: true; readonly asked: Asked }
  | { readonly ok: false; readonly problems: readonly StudyProblem[] };

/** The swings of a dataset that the question is put to. */
export function askedOfSwings(dataset: Dataset, plan: Plan | null, choice: MechanismChoice): Outcome {
  const { predictor, outcome, mediator } = choice;
  const columns = [predictor, outcome, ...(mediator === null ? [] : [mediator]), ...PREDICTORS];
  const { excluded, full, leftOut } = extractSwings(dataset, plan, columns);
  if (excluded.problems.length > 0) return { ok: false, problems: excluded.problems };
  const missing = full.flatMap(({ swing, values }) => {
    const [a, b] = [values[predictor] === null, values[outcome] === null];
    return a || b ? [{ id: swing, why: whyMissing(choice, a, b) }] : [];
  });
  return {
    ok: true,
    asked: {
      swings: full,
      golfers: excluded.golfers,
      sessions: excluded.sessions,
      leftOut: [...leftOut, ...missing].map(({ id, why }) => ({ count: 1, ids: [id], why })),
    },
  };
}

/** The same of swings that were summed by session where they are. */
export function askedOfSums(
  dataset: Dataset,
  plan: Plan | null,
  choice: MechanismChoice,
  sums: SwingCells,
): Outcome {
  const golfers = dataset.tables.golfers.column('golfer_id').map((golfer) => golfer ?? '');
  const sessions = rosterSessions(dataset);
  const known = new Set(sessions.map(({ session }) => session));
  const out = plannedExclusions({ golfers, sessions }, () => false, plan, dataset);
  if (out.problems.length > 0) return { ok: false, problems: out.problems };
  const counts = new Map<string, number>();
  const leave = (why: string, count: number) => {
    if (count > 0) counts.set(why, (counts.get(why) ?? 0) + count);
  };
  const { full, other, withoutFirst, withoutSecond, withoutBoth } = sums.tallies;
  sums.sessions.forEach((session, s) => {
    const why =
      out.whySession(session) ?? (known.has(session) ? undefined : 'its session is not in sessions.csv');
    if (why !== undefined) {
      leave(why, full[s]! + other[s]!);
      return;
    }
    leave('not a full swing', other[s]!);
    leave(whyMissing(choice, true, true), withoutBoth[s]!);
    leave(whyMissing(choice, true, false), withoutFirst[s]!);
    leave(whyMissing(choice, false, true), withoutSecond[s]!);
  });
  return {
    ok: true,
    asked: {
      swings: summedSwings(sums, dataset, (session) => out.whySession(session) === undefined),
      golfers: out.golfers,
      sessions: out.sessions,
      leftOut: [...counts].map(([why, count]): CountedLeftOut => ({ count, ids: null, why })),
    },
  };
}

function whyMissing({ predictor, outcome }: MechanismChoice, a: boolean, b: boolean): string {
  if (a && b) return `${predictor} and ${outcome} are missing`;
  return `${a ? predictor : outcome} is missing`;
}
