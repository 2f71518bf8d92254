import { CONTROL_NAME } from '../../shared/control-name.ts';
import type { StudyProblem } from '../../study.ts';
import {
  contradiction,
  manyControls,
  noControl,
  oneOrder,
  onlyControl,
  tooManyPeriods,
  unknownDrill,
} from './design-problems.ts';
import type { Role, TrialAssignment, TrialSession } from './trial-data.ts';

export type DesignKind = 'parallel' | 'crossover' | 'stepped-start' | 'before-after';

/** One stretch of a golfer's time in one arm; every golfer has one, and two in a crossover. */
export interface Period {
  readonly arm: string;
  readonly from: string;
}

export interface Design {
  readonly kind: DesignKind;
  readonly trial: string;
  /** Null where nobody was without the drill. */
  readonly control: string | null;
  /** The arms under test, the one that answers the question first. */
  readonly drills: readonly string[];
  /** By golfer, in order of date. */
  readonly periods: ReadonlyMap<string, readonly Period[]>;
  /** Golfers assigned only to arms that the plan does not compare. */
  readonly otherArms: readonly string[];
  readonly warnings: readonly string[];
}

/** What a plan may fix about the design; whatever is absent is recognised from the assignments. */
export interface DesignWish {
  readonly kind?: DesignKind | undefined;
  readonly trial?: string | undefined;
  readonly control?: string | undefined;
  /** The arms under test; the first answers the question. Other arms are left out. */
  readonly drills?: readonly string[] | undefined;
}

export type DesignOutcome =
  | { readonly ok: true; readonly design: Design }
  | { readonly ok: false; readonly problems: readonly StudyProblem[] };

const WAVE_NAME =
  /^(wave|step|start|group|cohort|early|late|middle|first|second|third)([ _-]?(start|\w|\d+))?$/i;

/** What an arm is there for. */
export function roleOf(design: Design, arm: string): Role {
  return arm === design.control ? 'control' : 'drill';
}

/**
 * Recognises the design from who was assigned to what and when, and checks it against what the plan says.
 * A golfer in both arms, in both orders, makes a crossover; one who moves from the control to the drill, or
 * starts that differ where nobody stays without the drill, a stepped start; separate arms with a control,
 * parallel groups; one arm alone, before and after.
 */
export function recogniseDesign(
  assignments: readonly TrialAssignment[],
  sessions: readonly TrialSession[],
  wish: DesignWish,
): DesignOutcome {
  const trial = chooseTrial(assignments, wish);
  if (typeof trial !== 'string') return { ok: false, problems: [trial] };
  const everyone = periodsByGolfer(assignments.filter((row) => row.trial === trial));
  const inTrial = distinct([...everyone.values()].flat().map((period) => period.arm)).sort();
  const unknown = (wish.drills ?? []).filter((arm) => !inTrial.includes(arm));
  if (unknown.length > 0) return refuse(unknownDrill(unknown, inTrial));
  const named = namedControls(inTrial, wish);
  if (named.length > 1) return refuse(manyControls(named));
  const control = named[0] !== undefined && inTrial.includes(named[0]) ? named[0] : null;
  const warnings =
    wish.control !== undefined && control === null
      ? [
          `The plan names '${wish.control}' as the control, but no golfer was assigned to it, so there is nothing to compare the drill with.`,
        ]
      : [];
  const drills = wish.drills ?? inTrial.filter((arm) => arm !== control);
  if (drills.length === 0) return refuse(onlyControl(control ?? ''));
  const { periods, otherArms } = keepArms(everyone, [...drills, ...(control === null ? [] : [control])]);
  const kind = kindOf(periods, sessions, drills, control, wish.kind);
  if (typeof kind !== 'string') return refuse(kind);
  const plannedControlIsMissing = wish.kind === 'parallel' && kind === 'before-after' && warnings.length > 0;
  if (wish.kind !== undefined && wish.kind !== kind && !plannedControlIsMissing)
    return refuse(contradiction(wish.kind, kind));
  return { ok: true, design: { kind, trial, control, drills, periods, otherArms, warnings } };
}

/** The plan's control; none where it plans one group; else the arms that read like a control. */
function namedControls(arms: readonly string[], wish: DesignWish): string[] {
  if (wish.control !== undefined) return [wish.control];
  if (wish.kind === 'before-after' && wish.drills !== undefined) return [];
  return arms.filter((arm) => CONTROL_NAME.test(arm) && !(wish.drills ?? []).includes(arm));
}

/** What is compared: one arm per comparison; in a stepped start the groups that start at different times are one. */
export function comparedArms(design: Design): readonly string[] {
  return design.kind === 'stepped-start' ? design.drills.slice(0, 1) : design.drills;
}

function keepArms(everyone: ReadonlyMap<string, readonly Period[]>, arms: readonly string[]) {
  const periods = new Map<string, readonly Period[]>();
  const otherArms: string[] = [];
  for (const [golfer, own] of everyone) {
    const kept = own.filter((period) => arms.includes(period.arm));
    if (kept.length > 0) periods.set(golfer, kept);
    else otherArms.push(golfer);
  }
  return { periods, otherArms };
}

function kindOf(
  periods: ReadonlyMap<string, readonly Period[]>,
  sessions: readonly TrialSession[],
  drills: readonly string[],
  control: string | null,
  wished: DesignKind | undefined,
): DesignKind | StudyProblem {
  const moved = [...periods.values()].filter((list) => list.length > 1);
  if (moved.length > 0) {
    if (control === null) return noControl([...drills]);
    if (drills.length > 1 || moved.some((list) => list.length > 2)) return tooManyPeriods();
    const fromControl = moved.filter((list) => list[0]!.arm === control).length;
    if (fromControl === moved.length) return 'stepped-start';
    return fromControl === 0 ? oneOrder(drills[0]!, control) : 'crossover';
  }
  if (control !== null) return 'parallel';
  const staggered = startsAreStaggered(periods, sessions);
  if (drills.length === 1) return staggered && wished !== 'before-after' ? 'stepped-start' : 'before-after';
  const waves = wished === 'stepped-start' || drills.every((arm) => WAVE_NAME.test(arm));
  return staggered && waves ? 'stepped-start' : noControl([...drills]);
}

/** Whether some golfer was still measured before his or her start after another golfer had already started. */
function startsAreStaggered(
  periods: ReadonlyMap<string, readonly Period[]>,
  sessions: readonly TrialSession[],
): boolean {
  const starts = [...periods.values()].map((list) => list[0]!.from).sort();
  const first = starts[0];
  if (first === undefined || starts.at(-1) === first) return false;
  return sessions.some((session) => {
    const start = periods.get(session.golfer)?.[0]?.from;
    return (
      start !== undefined && session.phase === 'baseline' && session.date > first && session.date <= start
    );
  });
}

function periodsByGolfer(assignments: readonly TrialAssignment[]): Map<string, readonly Period[]> {
  const byGolfer = new Map<string, Period[]>();
  for (const { golfer, arm, assignedOn } of assignments) {
    const list = byGolfer.get(golfer) ?? [];
    list.push({ arm, from: assignedOn });
    byGolfer.set(golfer, list);
  }
  for (const list of byGolfer.values()) {
    list.sort((a, b) => (a.from < b.from ? -1 : a.from > b.from ? 1 : 0));
    for (let i = list.length - 1; i > 0; i--) if (list[i]!.arm === list[i - 1]!.arm) list.splice(i, 1);
  }
  return byGolfer;
}

function chooseTrial(assignments: readonly TrialAssignment[], wish: DesignWish): string | StudyProblem {
  const trials = distinct(assignments.map((row) => row.trial)).sort();
  if (wish.trial !== undefined) {
    if (trials.includes(wish.trial)) return wish.trial;
    return {
      where: 'the plan, /trial_id',
      found: `'${wish.trial}'`,
      expected: `one of the trials in the assignments table: ${trials.join(', ') || 'none is there'}`,
      remedy: 'Correct the trial in the plan, or fill in the assignments table.',
    };
  }
  if (trials.length === 1) return trials[0]!;
  return trials.length === 0
    ? {
        where: 'assignments.csv',
        found: 'no golfer assigned to an arm',
        expected: 'one row for each golfer in the trial, with the arm and the date it began',
        remedy:
          'Fill in assignments.csv. With one pupil or one group and no control, give all of them the same arm; the answer is then a change, not an effect.',
      }
    : {
        where: 'assignments.csv',
        found: `several trials: ${trials.join(', ')}`,
        expected: 'one trial, or a plan that says which',
        remedy: 'Name the trial in a plan and pass it with --plan.',
      };
}

function refuse(problem: StudyProblem): DesignOutcome {
  return { ok: false, problems: [problem] };
}

function distinct(values: readonly string[]): string[] {
  return [...new Set(values)];
}
