import { meanInterval, moments } from '../../../stats/index.ts';
import type { DosePoint, FlowRow, GolferChange, GroupPhase } from '../../drill-trial-tables.ts';
import type { SmallestChange } from '../../finding.ts';
import { CONTROL_NAME } from '../../shared/control-name.ts';
import { type Design, roleOf } from '../input/design.ts';
import type { Phase, PracticeBout, SwingGroup, TrialData } from '../input/trial-data.ts';
import { golferMeans } from './golfer-means.ts';
import { chanceBeyond } from './individual.ts';
import type { MainAnalysis } from './main-analysis.ts';

const PHASES: readonly Phase[] = ['baseline', 'training', 'post', 'retention'];

/**
 * Each golfer of the trial, measured or not. In a crossover 'before' is the mean after the control and 'after' the
 * mean after the drill, and the arm is the one the golfer began with.
 */
export function golferTable(
  data: TrialData,
  rows: readonly SwingGroup[],
  design: Design,
  main: MainAnalysis,
  smallest: SmallestChange | null,
): GolferChange[] {
  const crossover = design.kind === 'crossover';
  const full = rows.filter((row) => row.task === 'full' && (!crossover || row.phase === 'post'));
  const [before, after] = crossover ? [design.control!, design.drills[0]!] : ['baseline', 'post'];
  const means = golferMeans(full, (row) => (crossover ? row.arm : row.phase));
  const practice = new Map<string, PracticeBout[]>();
  for (const bout of data.practice) {
    const bouts = practice.get(bout.golfer);
    if (bouts === undefined) practice.set(bout.golfer, [bout]);
    else bouts.push(bout);
  }
  const lastAfter = new Map<string, string>();
  for (const { golfer, phase, date } of rows)
    if (phase === 'post' && date > (lastAfter.get(golfer) ?? '')) lastAfter.set(golfer, date);
  return [...design.periods.keys()].sort().map((golfer) => {
    const own = means.get(golfer);
    const periods = design.periods.get(golfer)!;
    const arm =
      design.kind === 'stepped-start'
        ? (periods.find((period) => period.arm !== design.control) ?? periods[0]!).arm
        : periods[0]!.arm;
    const meanBefore = own?.get(before)?.mean ?? null;
    const meanAfter = own?.get(after)?.mean ?? null;
    const shrunken = main.golferChange(golfer);
    return {
      golfer,
      arm,
      role: roleOf(design, arm),
      before: meanBefore,
      after: meanAfter,
      retention: crossover ? null : (own?.get('retention')?.mean ?? null),
      swingsBefore: own?.get(before)?.count ?? 0,
      swingsAfter: own?.get(after)?.count ?? 0,
      change: meanBefore === null || meanAfter === null ? null : meanAfter - meanBefore,
      shrunken: shrunken?.value ?? null,
      interval: shrunken?.interval ?? null,
      // Without several visits in a phase the day's shift is in the change and not in its noise: an interval
      // describes those visits, and a chance of a lasting change would be overstated.
      chanceMeaningful:
        shrunken === null || smallest === null || !main.daysApart ? null : chanceBeyond(shrunken, smallest),
      reps: repetitions(practice.get(golfer) ?? [], lastAfter, design, golfer),
    };
  });
}

/** Logged repetitions from the start of the drill to the last session after it; null where none were logged. */
function repetitions(
  practice: readonly PracticeBout[],
  lastAfter: ReadonlyMap<string, string>,
  design: Design,
  golfer: string,
): number | null {
  const start =
    design.periods.get(golfer)!.find((period) => period.arm !== design.control) ??
    design.periods.get(golfer)![0]!;
  const end = lastAfter.get(golfer);
  const bouts = practice.filter(
    (bout) =>
      bout.reps !== null &&
      !isUsualPractice(bout.drill, design) &&
      bout.date >= start.from &&
      (end === undefined || bout.date <= end),
  );
  return bouts.length === 0 ? null : bouts.reduce((sum, bout) => sum + bout.reps!, 0);
}

/** A bout that is logged under the name of the control is not practice of the drill. */
function isUsualPractice(name: string | null, design: Design): boolean {
  return name !== null && (name === design.control || CONTROL_NAME.test(name));
}

/** Means by arm, phase and task, with intervals over golfers: each golfer counts once, however many swings. */
export function groupTable(rows: readonly SwingGroup[], design: Design, level: number): GroupPhase[] {
  const groups: GroupPhase[] = [];
  const arms = [...design.drills, ...(design.control === null ? [] : [design.control])];
  for (const task of ['full', 'drill'] as const)
    for (const arm of arms)
      for (const phase of PHASES) {
        const own = rows.filter((row) => row.task === task && row.arm === arm && row.phase === phase);
        const means = [...golferMeans(own, () => phase).values()].map((cells) => cells.get(phase)!.mean);
        const sample = moments(means);
        if (sample === null) continue;
        groups.push({
          arm,
          role: roleOf(design, arm),
          phase,
          task,
          golfers: sample.n,
          swings: own.reduce((sum, { count }) => sum + count, 0),
          mean: sample.mean,
          interval: sample.sd === null || sample.sd === 0 ? null : meanInterval(means, level),
          level,
        });
      }
  return groups;
}

/** Who was assigned, and who was measured (a full swing with a value) in each phase. */
export function flowTable(rows: readonly SwingGroup[], design: Design): FlowRow[] {
  const arms = [...design.drills, ...(design.control === null ? [] : [design.control])];
  const seen = new Set(
    rows
      .filter((row) => row.task === 'full')
      .map((row) =>
        JSON.stringify([
          row.golfer,
          row.phase,
          design.kind === 'crossover' && row.phase !== 'baseline' ? row.arm : '',
        ]),
      ),
  );
  return arms.map((arm) => {
    const assigned = [...design.periods]
      .filter(([, periods]) => periods.some((period) => period.arm === arm))
      .map(([golfer]) => golfer);
    const measured = (phase: Phase) =>
      assigned.filter((golfer) =>
        seen.has(
          JSON.stringify([golfer, phase, design.kind === 'crossover' && phase !== 'baseline' ? arm : '']),
        ),
      ).length;
    return {
      arm,
      role: roleOf(design, arm),
      assigned: assigned.length,
      baseline: measured('baseline'),
      post: measured('post'),
      retention: measured('retention'),
    };
  });
}

/** Repetitions and observed change of the golfers who did the drill and have both. */
export function doseTable(golfers: readonly GolferChange[]): DosePoint[] {
  return golfers
    .filter((golfer) => golfer.role === 'drill' && golfer.reps !== null && golfer.change !== null)
    .map(({ golfer, reps, change }) => ({ golfer, reps: reps!, change: change! }));
}
