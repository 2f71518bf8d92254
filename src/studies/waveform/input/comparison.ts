import type { Dataset, Plan } from '../../../dataset/index.ts';
import { isMetricColumn, metricByColumn } from '../../../kinematics/index.ts';
import { CONTROL_NAME } from '../../shared/control-name.ts';
import { numbersOrMissing } from '../../shared/roster.ts';
import type { StudyProblem } from '../../study.ts';
import type { SwingCurves } from './swing-curves.ts';

/** What is compared with what. */
export type ComparisonKind =
  /** How much each golfer's curve changed from before to after, between two arms. */
  | 'arms-change'
  /** Curves after, between two arms. */
  | 'arms-after'
  /** Each golfer's curve after with the same golfer's before. */
  | 'before-after'
  /** Curves of golfers against a number of the golfer. */
  | 'by-number';

/** What curves can be compared by. */
export const COMPARISONS: readonly ComparisonKind[] = [
  'arms-change',
  'arms-after',
  'before-after',
  'by-number',
];

export interface Arms {
  readonly first: string;
  readonly second: string;
  readonly hasControl: boolean;
  readonly of: ReadonlyMap<string, string>;
}

export type Comparison =
  | { readonly kind: 'arms-change' | 'arms-after'; readonly arms: Arms }
  | { readonly kind: 'before-after'; readonly arms: Arms | null; readonly only: string | null }
  | {
      readonly kind: 'by-number';
      readonly by: string;
      readonly label: string;
      readonly unit: string;
      readonly of: ReadonlyMap<string, number>;
    };

export type ChosenComparison =
  | { readonly ok: true; readonly comparison: Comparison; readonly notes: readonly string[] }
  | { readonly ok: false; readonly problems: readonly StudyProblem[] };

/** A golfer enters a comparison of changes with this many golfers at least in each arm measured twice. */
const ENOUGH_TWICE = 4;

/** The comparison asked for, or the one that the data can answer best. */
export function chooseComparison(
  dataset: Dataset,
  data: SwingCurves,
  plan: Plan | null,
  asked: ComparisonKind | undefined,
  by: string | undefined,
): ChosenComparison {
  if (by !== undefined && (asked === undefined || asked === 'by-number')) return byNumber(dataset, by);
  if (asked === 'by-number')
    return refuse(
      'what is compared',
      'no number to compare golfers by',
      'a column of golfers.csv such as handicap_index, or a metric column of swings.csv',
      'Name it with --by.',
    );
  if (by !== undefined)
    return refuse(
      '--by',
      `${by} together with the comparison ${asked}`,
      'a number of the golfer only in a comparison by-number',
      'Leave out --by, or ask for --compare by-number.',
    );
  const found = armsOf(dataset, plan);
  const twice = (arm: string, arms: Arms) =>
    data.golfers.filter(
      (golfer) =>
        arms.of.get(golfer) === arm &&
        (['baseline', 'post'] as const).every((phase) =>
          data.swings.some((swing) => swing.golfer === golfer && swing.phase === phase),
        ),
    ).length;
  if (asked === 'before-after' || (asked === undefined && !('arms' in found))) {
    if (asked === undefined && 'problem' in found && found.several)
      return { ok: false, problems: [found.problem] };
    const arms = 'arms' in found ? found.arms : null;
    return {
      ok: true,
      comparison: { kind: 'before-after', arms, only: arms === null ? null : arms.first },
      notes: arms === null ? [] : [`Only golfers in '${arms.first}' are in it.`],
    };
  }
  if (!('arms' in found)) return { ok: false, problems: [found.problem] };
  const { arms } = found;
  const enough = [arms.first, arms.second].every((arm) => twice(arm, arms) >= ENOUGH_TWICE);
  return {
    ok: true,
    comparison: { kind: asked ?? (enough ? 'arms-change' : 'arms-after'), arms },
    notes: arms.hasControl
      ? []
      : [`No arm reads like a control, so '${arms.first}' is compared with '${arms.second}'.`],
  };
}

type FoundArms = { readonly arms: Arms } | { readonly problem: StudyProblem; readonly several: boolean };

/** The two arms of the trial: the first is the one that is asked about, the second what it is compared with. */
function armsOf(dataset: Dataset, plan: Plan | null): FoundArms {
  const { assignments } = dataset.tables;
  const trials = assignments.column('trial_id');
  const arms = assignments.column('arm');
  const of = new Map<string, string>();
  const moved = new Set<string>();
  const inTrial = [...new Set(trials.map((trial) => trial ?? ''))].sort();
  const trial = plan?.trial_id ?? inTrial[0];
  const problem = (found: string, expected: string, remedy: string, several: boolean): FoundArms => ({
    problem: { where: 'assignments.csv', found, expected, remedy },
    several,
  });
  if (plan?.trial_id === undefined && inTrial.length > 1)
    return problem(
      `several trials: ${inTrial.join(', ')}`,
      'one trial, or a plan that says which',
      'Name the trial in a plan, or ask for --compare before-after.',
      true,
    );
  assignments.column('golfer_id').forEach((golfer, i) => {
    if (golfer === null || trials[i] !== trial) return;
    const arm = arms[i] ?? '';
    if (of.has(golfer) && of.get(golfer) !== arm) moved.add(golfer);
    of.set(golfer, arm);
  });
  const names = [...new Set(of.values())].sort();
  const controls =
    plan?.arms?.control === undefined ? names.filter((name) => CONTROL_NAME.test(name)) : [plan.arms.control];
  if (names.length < 2)
    return problem(
      names.length === 0 ? 'no golfer assigned to an arm' : `one arm, ${names[0]}`,
      'two arms to compare',
      'Fill in assignments.csv, or ask for --compare before-after, or --by a number of the golfer.',
      false,
    );
  if (moved.size > 0)
    return problem(
      `golfers in more than one arm: ${[...moved].sort().join(', ')}`,
      'each golfer in one arm',
      'Ask for --compare before-after; a crossover or a stepped start is answered by ask drill-trial.',
      true,
    );
  const control = controls.find((name) => names.includes(name));
  const others = names.filter((name) => name !== control);
  const drill = plan?.arms?.drill[0];
  if (drill === undefined && others.length > 2 - (control === undefined ? 0 : 1))
    return problem(
      `the arms ${names.join(', ')}`,
      'two arms, or a plan that says which two',
      'Name the arms in a plan.',
      true,
    );
  const first = drill ?? others[0]!;
  const second = control ?? others.find((name) => name !== first)!;
  return { arms: { first, second, hasControl: control !== undefined, of } };
}

function byNumber(dataset: Dataset, by: string): ChosenComparison {
  const { golfers, swings, sessions } = dataset.tables;
  const of = new Map<string, number>();
  if ((by === 'handicap_index' || by === 'height_cm') && golfers.has(by)) {
    const values = golfers.numbers(by);
    golfers.column('golfer_id').forEach((golfer, i) => {
      if (golfer !== null && !Number.isNaN(values[i]!)) of.set(golfer, values[i]!);
    });
    const [label, unit] = by === 'height_cm' ? ['height', 'cm'] : ['handicap index', 'stroke'];
    return { ok: true, comparison: { kind: 'by-number', by, label, unit, of }, notes: [] };
  }
  if (!isMetricColumn(by))
    return refuse(
      '--by',
      `"${by}"`,
      'handicap_index or height_cm of golfers.csv, or a metric column of swings.csv',
      'Write one of these, letter for letter.',
    );
  const golferOf = new Map(
    sessions.column('session_id').map((id, i) => [id, sessions.column('golfer_id')[i]!]),
  );
  const tasks = swings.column('task');
  const own = new Map<string, number[]>();
  const values = numbersOrMissing(dataset, by);
  swings.column('session_id').forEach((session, i) => {
    const golfer = golferOf.get(session);
    const value = values[i] ?? null;
    if (golfer == null || value === null || tasks[i] !== 'full') return;
    own.set(golfer, [...(own.get(golfer) ?? []), value]);
  });
  for (const [golfer, list] of own) of.set(golfer, list.reduce((sum, v) => sum + v, 0) / list.length);
  const { label, unit } = metricByColumn(by);
  return { ok: true, comparison: { kind: 'by-number', by, label, unit, of }, notes: [] };
}

function refuse(where: string, found: string, expected: string, remedy: string): ChosenComparison {
  return { ok: false, problems: [{ where, found, expected, remedy }] };
}
