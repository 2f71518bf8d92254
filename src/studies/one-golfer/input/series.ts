import type { Plan } from '../../../dataset/index.ts';
import { chartLimits, chartSignals, moments, movingRanges } from '../../../stats/index.ts';
import type { Condition, GolferLimits, SessionPoint } from '../../one-golfer-tables.ts';
import type { Phase, RosterSession, RosterSwing } from '../../shared/roster.ts';

/** One golfer followed over time: sessions with a value in order of date, each a point. */
export interface GolferSeries {
  readonly golfer: string;
  /** A and B only, in order. */
  readonly compared: readonly SessionPoint[];
  readonly retention: readonly SessionPoint[];
  readonly limits: GolferLimits | null;
}

/**
 * The condition a session counts under. Without phases in the plan, baseline is A, training and post are B; a withdrawal
 * is written as baseline again, so that baseline, training, baseline, training by date is ABAB. With them, the phase
 * before is A, the phase after is B, and the others are not compared (null).
 */
export function conditionOf(plan: Plan | null, phase: Phase): Condition | null {
  const phases = plan?.phases;
  if (phases === undefined) return phase === 'baseline' ? 'A' : phase === 'retention' ? 'retention' : 'B';
  if (phase === phases.before) return 'A';
  if (phase === phases.after) return 'B';
  return phase === phases.retention ? 'retention' : null;
}

/** Full swings with a value, by session. */
export function valuesBySession(swings: readonly RosterSwing[]): ReadonlyMap<string, readonly number[]> {
  const values = new Map<string, number[]>();
  for (const { session, task, value } of swings) {
    if (task !== 'full' || value === null) continue;
    const own = values.get(session);
    if (own === undefined) values.set(session, [value]);
    else own.push(value);
  }
  return values;
}

/** The series of a golfer. Sessions on one day keep the order of the file. */
export function golferSeries(
  golfer: string,
  sessions: readonly RosterSession[],
  values: ReadonlyMap<string, readonly number[]>,
  plan: Plan | null,
): GolferSeries {
  const own = sessions
    .filter((session) => session.golfer === golfer && values.has(session.session))
    .flatMap((session) => {
      const condition = conditionOf(plan, session.phase);
      return condition === null ? [] : [{ ...session, condition }];
    })
    .sort((a, b) => (a.date < b.date ? -1 : a.date > b.date ? 1 : 0));
  let run = 0;
  const means = own.map(({ session }) => moments(values.get(session)!)!);
  const bare = own.map(({ session, date, phase, condition }, i) => {
    if (i === 0 || own[i - 1]!.condition !== condition) run += 1;
    const { n, mean, sd } = means[i]!;
    return { golfer, session, date, order: i + 1, phase, condition, run, swings: n, mean, swingSd: sd };
  });
  const first = bare.find(({ condition }) => condition === 'A')?.run;
  const limits = chartLimits(bare.filter((point) => point.run === first).map(({ mean }) => mean));
  const all = bare.map(({ mean }) => mean);
  const ranges = movingRanges(all);
  const signals = limits === null ? all.map(() => []) : chartSignals(all, limits);
  const points = bare.map((point, i) => ({ ...point, movingRange: ranges[i]!, signals: signals[i]! }));
  return {
    golfer,
    compared: points.filter(({ condition }) => condition !== 'retention'),
    retention: points.filter(({ condition }) => condition === 'retention'),
    limits: limits === null ? null : { golfer, ...limits },
  };
}

/** The phases of a series of A and B in letters, such as `ABAB`. */
export function patternOf({ compared }: Pick<GolferSeries, 'compared'>): string {
  return compared
    .filter((point, i) => i === 0 || compared[i - 1]!.condition !== point.condition)
    .map(({ condition }) => condition)
    .join('');
}

/** How many sessions each phase of the pattern has. */
export function runLengths({ compared }: Pick<GolferSeries, 'compared'>): number[] {
  const lengths: number[] = [];
  compared.forEach((point, i) => {
    if (i === 0 || compared[i - 1]!.condition !== point.condition) lengths.push(0);
    lengths[lengths.length - 1] = lengths.at(-1)! + 1;
  });
  return lengths;
}
