import type { Dataset } from '../../dataset/index.ts';
import type { OneGolferTables } from '../one-golfer-tables.ts';
import { applyExclusions } from '../shared/exclusions.ts';
import { type RosterSession, rosterSessions, rosterSwings } from '../shared/roster.ts';
import { chooseMetric, type StudyMetric } from '../shared/study-metric.ts';
import type { Study, StudyOptions, StudyOutcome, StudyProblem } from '../study.ts';
import { answer } from './analysis/answers.ts';
import { chooseGolfers } from './input/golfers.ts';
import { golferSeries, valuesBySession } from './input/series.ts';
import type { OneGolferData } from './one-golfer-data.ts';
import { writeFinding } from './wording/write-finding.ts';

/**
 * Has this golfer changed? One golfer followed over sessions through phases A and B (AB, ABA, ABAB and so on), or a few who
 * begin one after the other (multiple baseline). The change of the session means with an interval that allows for
 * neighbouring sessions being alike; whether it is more than noise; the exact randomisation test of the design with the
 * smallest p it allows; non-overlap, rank trend, and a chart of individuals and moving ranges.
 *
 * Phases come from sessions.csv by date: baseline is A, training and post are B, retention stands apart. A withdrawal is
 * written as baseline again. Whom it is about: `options.golfers`, else the plan's `series.golfers`, else the only golfer.
 * Data that cannot be put to the question give problems in words; nothing is thrown for what is in the data.
 *
 * @example
 * const outcome = oneGolfer(dataset, { golfers: ['G01'], metric: 'shaft_lean_impact_deg' });
 * outcome.ok && outcome.finding.study // 'one-golfer'
 */
export function oneGolfer(dataset: Dataset, options: StudyOptions = {}): StudyOutcome<OneGolferTables> {
  const plan = options.plan ?? null;
  const chosen = chooseMetric(dataset, options.metric, plan);
  if (!chosen.ok) return chosen;
  const all: OneGolferData = {
    metric: chosen.metric,
    golfers: dataset.tables.golfers.column('golfer_id').map((golfer) => golfer ?? ''),
    sessions: rosterSessions(dataset),
    swings: rosterSwings(dataset, chosen.metric.column),
  };
  const excluded = applyExclusions(all, plan, dataset);
  if (excluded.problems.length > 0) return { ok: false, problems: excluded.problems };
  const { golfers, sessions, swings } = excluded.data;
  const values = valuesBySession(swings);
  const measured = new Set(sessions.filter(({ session }) => values.has(session)).map(({ golfer }) => golfer));
  const whom = chooseGolfers(
    options.golfers,
    plan,
    golfers,
    golfers.filter((golfer) => measured.has(golfer)),
  );
  if (!whom.ok) return whom;
  const series = whom.golfers.map((golfer) => golferSeries(golfer, sessions, values, plan));
  const flat = withoutVariation(whom.golfers, sessions, values, chosen.metric);
  if (flat !== null) return { ok: false, problems: [flat] };
  const answers = answer({ metric: chosen.metric, series, sessions, values, plan, seed: options.seed });
  return { ok: true, finding: writeFinding({ dataset, options, excluded, series, answers }) };
}

/** Where every value is the same, not even chance can be judged: null where anything varies, or nothing was measured. */
function withoutVariation(
  golfers: readonly string[],
  sessions: readonly RosterSession[],
  values: ReadonlyMap<string, readonly number[]>,
  metric: StudyMetric,
): StudyProblem | null {
  const own = sessions
    .filter(({ golfer }) => golfers.includes(golfer))
    .flatMap(({ session }) => values.get(session) ?? []);
  if (own.length < 2 || own.some((value) => value !== own[0])) return null;
  return {
    where: `swings.csv, ${metric.column}`,
    found: `one and the same value, ${own[0]}, in all ${own.length} swings`,
    expected: 'values as they were measured, which differ from swing to swing',
    remedy: 'Check whether the column was filled down or rounded.',
  };
}

/** The study as the registry lists it. */
export const oneGolferStudy: Study<OneGolferTables> = {
  name: 'one-golfer',
  question: 'Has this golfer changed?',
  summary:
    'Compares the sessions of one golfer before and after a start, or with and without training, with what noise alone does. Needs several sessions of the golfer; more golfers who begin one after the other make it stronger.',
  run: oneGolfer,
};
