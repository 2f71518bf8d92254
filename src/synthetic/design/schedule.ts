import type { Stream } from '../../numerics/index.ts';
import type { Recipe, RosterDesign, SeriesDesign, SteppedStartDesign, Visit } from '../recipe/recipe.ts';
import { retainedAt } from './retained.ts';

export type Arm = 'drill' | 'control';

/** A visit as planned: when it is, and how much of the drill and of practice has taken hold by then (0 to 1 and over). */
export interface PlannedVisit {
  /** Days from the first date of the trial. */
  readonly day: number;
  readonly phase: Visit['phase'];
  readonly drillShare: number;
  readonly practiceShare: number;
  /** A golfer who leaves does so before this visit. */
  readonly mayLeaveBefore: boolean;
}

export interface PracticeWindow {
  readonly arm: Arm;
  /** The first day a bout may be on. */
  readonly from: number;
}

/** One golfer's path through the trial. */
export interface Schedule {
  readonly assignments: readonly { readonly arm: Arm; readonly day: number }[];
  readonly windows: readonly PracticeWindow[];
  readonly visits: readonly PlannedVisit[];
}

/** What was drawn for a golfer when the trial was set up: the arms in order, or the wave before the start. */
export interface Allocation {
  readonly arms: readonly Arm[];
  readonly startsAfterWave: number;
  /** In a series: which line of stretches the golfer has. */
  readonly line?: number;
}

/** The visits, assignments and practice windows of a golfer. */
export function schedule(recipe: Recipe, allocation: Allocation, stream: Stream): Schedule {
  const { design } = recipe;
  if (design.kind === 'stepped-start') return steppedStart(recipe, design, allocation, stream);
  if (design.kind === 'roster') return roster(recipe, design, stream);
  if (design.kind === 'series') return series(design, allocation);
  const periodDays = design.kind === 'crossover' ? design.periodDays : 0;
  const periods = allocation.arms.map((arm, period) => ({ arm, period, start: period * periodDays }));
  return {
    assignments: periods.map(({ arm, start }) => ({ arm, day: start + design.assignedDay })),
    windows: periods.map(({ arm, start }) => ({ arm, from: start + learningStart(design) })),
    visits: periods.flatMap(({ period, start }) =>
      periodVisits(recipe, design, allocation, period).map((visit) => ({
        ...visit,
        day: start + visit.day + stream.integer(0, design.jitterDays),
      })),
    ),
  };
}

/** The day of a period on which the drill (or usual practice) begins: after assignment and after the last baseline visit. */
export function learningStart(design: {
  readonly assignedDay: number;
  readonly jitterDays: number;
  readonly visits: readonly Visit[];
}): number {
  const baselines = design.visits.filter((visit) => visit.phase === 'baseline').map((visit) => visit.day);
  return Math.max(design.assignedDay, Math.max(...baselines) + design.jitterDays) + 1;
}

function periodVisits(
  recipe: Recipe,
  design: Exclude<Recipe['design'], SteppedStartDesign | RosterDesign | SeriesDesign>,
  allocation: Allocation,
  period: number,
): PlannedVisit[] {
  const { learning } = recipe;
  const start = learningStart(design);
  const arm = allocation.arms[period];
  const hadDrill = period > 0 && allocation.arms[period - 1] === 'drill';
  const carried = design.kind === 'crossover' && hadDrill ? design.leftAfterWashout : 0;
  const practisedBefore = period > 0 ? learning.retained.practice : 0;
  const firstPost = design.visits.findIndex((visit) => visit.phase === 'post');
  const mayLeaveAt =
    design.kind === 'crossover' && period === 0 ? -1 : design.kind === 'crossover' ? 0 : firstPost;
  return design.visits.map((visit, at) => {
    const retention = visit.phase === 'retention';
    const ramp = (days: number) => Math.min(1, Math.max(0, (visit.day - start) / days));
    const left = retainedAt(design.visits, visit.day, learning.retained);
    const drill = retention ? left.drill : ramp(learning.rampDays);
    const practice = retention ? left.practice : ramp(learning.practiceRampDays);
    return {
      day: visit.day,
      phase: visit.phase,
      drillShare: carried + (arm === 'drill' ? drill : 0),
      practiceShare: practisedBefore + practice,
      mayLeaveBefore: at === mayLeaveAt,
    };
  });
}

function steppedStart(
  recipe: Recipe,
  design: SteppedStartDesign,
  allocation: Allocation,
  stream: Stream,
): Schedule {
  const { learning } = recipe;
  const waveDay = (wave: number) => (wave - 1) * design.daysBetweenWaves;
  const start = waveDay(allocation.startsAfterWave) + 1;
  const mayLeaveAt = stream.integer(allocation.startsAfterWave + 1, design.waves);
  return {
    assignments: [{ arm: 'drill', day: start }],
    windows: [{ arm: 'drill', from: start }],
    visits: Array.from({ length: design.waves }, (_, at) => {
      const wave = at + 1;
      const day = waveDay(wave);
      return {
        day,
        phase: day < start ? ('baseline' as const) : ('post' as const),
        drillShare: Math.min(1, Math.max(0, (day - start) / learning.rampDays)),
        practiceShare: Math.min(1, day / learning.practiceRampDays),
        mayLeaveBefore: wave === mayLeaveAt,
      };
    }),
  };
}

/** Visits without a trial: nobody is assigned, practice and teaching take hold between baseline and post. */
function roster(recipe: Recipe, design: RosterDesign, stream: Stream): Schedule {
  const { learning } = recipe;
  const lastBaseline = Math.max(
    0,
    ...design.visits.filter(({ phase }) => phase === 'baseline').map(({ day }) => day + design.jitterDays),
  );
  return {
    assignments: [],
    windows: [],
    visits: design.visits.map(({ phase, day }) => ({
      day: day + stream.integer(0, design.jitterDays),
      phase,
      drillShare: 0,
      practiceShare:
        phase === 'retention'
          ? retainedAt(design.visits, day, learning.retained).practice
          : Math.min(1, Math.max(0, (day - lastBaseline) / learning.practiceRampDays)),
      mayLeaveBefore: false,
    })),
  };
}

/** The stretches of a golfer's line: the drill works from the first training session on; practice adds up evenly to the end. */
function series(design: SeriesDesign, allocation: Allocation): Schedule {
  const line = design.lines[allocation.line!]!;
  const sessions = line.flatMap((stretch, at) => Array<number>(stretch.sessions).fill(at));
  const day = (session: number) => session * design.daysBetweenSessions;
  return {
    assignments: line.map(({ phase }, at) => ({ arm: armOf(phase), day: day(sessions.indexOf(at)) })),
    windows: [],
    visits: sessions.map((at, session) => {
      const { phase } = line[at]!;
      const withdrawn = line.slice(0, at).some((before) => before.phase === 'training');
      return {
        day: day(session),
        phase,
        drillShare: phase === 'training' ? 1 : withdrawn ? design.leftAfterWithdrawal : 0,
        practiceShare: sessions.length === 1 ? 0 : session / (sessions.length - 1),
        mayLeaveBefore: false,
      };
    }),
  };
}

function armOf(phase: 'baseline' | 'training'): Arm {
  return phase === 'training' ? 'drill' : 'control';
}
