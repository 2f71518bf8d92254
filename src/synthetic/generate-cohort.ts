import { createStream, lowerMedian, type Stream } from '../numerics/index.ts';
import type { SwingToCapture } from './captures/index.ts';
import { cohortCurves, type SwingCurve } from './cohort-curves.ts';
import { type CohortTables, cohortTables } from './cohort-tables.ts';
import { allocate } from './design/allocate.ts';
import { type Schedule, schedule } from './design/schedule.ts';
import { doseMultiplier, drawBouts, relativeDose } from './model/dose.ts';
import { drawGolfer, type Golfer } from './model/golfer.ts';
import type { SwingRecord } from './model/swing-record.ts';
import { type Teaching, teach } from './model/teaching.ts';
import type { Participant, SeenVisit } from './participant.ts';
import type { Device, Recipe } from './recipe/recipe.ts';
import { type Setting, settingOf } from './setting.ts';
import { cohortTruth, type Truth } from './truth/cohort-truth.ts';
import { drawForm, simulateVisit, visitMean } from './visit.ts';

/** An invented cohort with the truth it was drawn from. */
export interface Cohort {
  readonly tables: CohortTables;
  /** Curves over the downswing, where the recipe makes them. */
  readonly curves: readonly SwingCurve[];
  /** What the full swings were simulated from, where they come from the mechanics. */
  readonly movements: readonly SwingToCapture[];
  readonly truth: Truth;
}

/**
 * A roster with known truth: pure, and the same for the same recipe and seed.
 *
 * @param recipe a checked recipe, from `loadRecipe` or `checkRecipe`
 * @param seed any whole number
 * @returns the tables of a dataset as rows, and what was planted in them
 * @example generateCohort(recipe, 7).truth.drillEffect.transition_elbow_change_deg // -8, which the recipe plants
 */
export function generateCohort(recipe: Recipe, seed: number): Cohort {
  const { participants, teaching } = simulateCohort(recipe, seed);
  return {
    tables: cohortTables(recipe, participants),
    curves: cohortCurves(participants),
    movements: cohortMovements(participants),
    truth: cohortTruth(recipe, seed, participants, teaching),
  };
}

/** Once the swings have their ids. */
function cohortMovements(participants: readonly Participant[]): SwingToCapture[] {
  return participants.flatMap(({ golfer, visits }) =>
    visits.flatMap(({ swings, movements }) =>
      movements.flatMap((movement, at) =>
        movement === null ? [] : [{ swing_id: swings[at]!.swing_id, plays: golfer.plays, ...movement }],
      ),
    ),
  );
}

interface Simulated {
  readonly participants: readonly Participant[];
  readonly teaching: Teaching | null;
}

function simulateCohort(recipe: Recipe, seed: number): Simulated {
  const root = createStream(seed, 'cohort');
  const setting = settingOf(recipe);
  const candidates = enrol(setting, root);
  const teaching = teach(
    recipe,
    candidates.map(({ golfer }) => golfer.handicap),
    root.sub('teaching'),
  );
  const instructors = teaching?.instructors ?? dealInstructors(recipe, root.sub('instructors'));
  const middle = lowerMedian(candidates.map(({ golfer }) => golfer.handicap))!;
  const strata = candidates.map(({ golfer }) =>
    golfer.handicap <= middle ? 'lower handicap' : 'higher handicap',
  );
  const allocations = allocate(recipe.design, strata, root.sub('allocation'));
  const width = Math.max(2, String(candidates.length).length);
  const participants = candidates.map(({ golfer: drawn, stream }, at) => {
    const golfer = teaching === null ? drawn : teaching.taught(drawn, at);
    const allocation = allocations[at]!;
    const plan = schedule(recipe, allocation, stream.sub('schedule'));
    return {
      id: `G${String(at + 1).padStart(width, '0')}`,
      instructor: instructors[at]!,
      stratum: strata[at]!,
      golfer,
      allocation,
      schedule: plan,
      ...follow(setting, golfer, plan, stream),
    };
  });
  return { participants, teaching };
}

interface Candidate {
  readonly golfer: Golfer;
  readonly stream: Stream;
}

/** Golfers in the order they come forward, those only who meet the selection. */
function enrol(setting: Setting, root: Stream): Candidate[] {
  const { recipe } = setting;
  const taken: Candidate[] = [];
  const most = 1000 * recipe.roster.golfers;
  for (let number = 0; taken.length < recipe.roster.golfers; number++) {
    if (number === most)
      throw new Error(
        `generateCohort: of ${most} golfers only ${taken.length} meet the selection; move selection.limit.`,
      );
    const stream = root.sub('golfer', number);
    const golfer = drawGolfer(setting, stream);
    if (isSelected(setting, golfer, stream)) taken.push({ golfer, stream });
  }
  return taken;
}

function isSelected(setting: Setting, golfer: Golfer, stream: Stream): boolean {
  const { selection } = setting.recipe;
  if (selection === undefined) return true;
  // The first visit comes before any learning, whatever the allocation will be.
  const first = {
    day: 0,
    phase: 'baseline',
    drillShare: 0,
    practiceShare: 0,
    mayLeaveBefore: false,
  } as const;
  const source = stream.sub('visit', 0);
  const state = { doseMultiplier: 1, form: drawForm(source, null, 0), devices: devicesAt(setting.recipe, 0) };
  const seen = simulateVisit(setting, golfer, state, first, source);
  const mean = visitMean(seen[0]!.swings, selection.metric);
  if (mean === null) return false;
  return selection.side === 'above' ? mean > selection.limit : mean < selection.limit;
}

function dealInstructors(recipe: Recipe, stream: Stream): string[] {
  const { golfers, instructors } = recipe.roster;
  return stream.shuffle(Array.from({ length: golfers }, (_, at) => `I${(at % instructors) + 1}`));
}

function follow(setting: Setting, golfer: Golfer, plan: Schedule, stream: Stream) {
  const { recipe } = setting;
  const bouts = plan.windows.map((_, window) => drawBouts(recipe, stream.sub('practice', window)));
  const drillWindow = plan.windows.findIndex(({ arm }) => arm === 'drill');
  const dose = drillWindow < 0 ? 1 : relativeDose(recipe.practiceLog, bouts[drillWindow]!);
  const multiplier = doseMultiplier(recipe.learning.doseShare, dose);
  const chance = stream.sub('attendance');
  const visits: SeenVisit[] = [];
  const autocorrelation = recipe.design.kind === 'series' ? recipe.design.autocorrelation : 0;
  let form: Float64Array | null = null;
  let leftEarly = false;
  plan.visits.forEach((planned, at) => {
    const misses = chance.bernoulli(recipe.missing.visitShare);
    const leaving = chance.uniform();
    if (planned.mayLeaveBefore && leaving < chanceOfLeaving(recipe, visits)) leftEarly = true;
    const source = stream.sub('visit', at);
    form = drawForm(source, form, autocorrelation);
    if (leftEarly || (misses && at > 0)) return;
    const state = { doseMultiplier: multiplier, form, devices: devicesAt(recipe, at) };
    for (const seen of simulateVisit(setting, golfer, state, planned, source))
      visits.push({ planned, ...seen });
  });
  return { bouts, dose, visits, leftEarly };
}

/** The devices that measure a golfer's visit; none where the recipe has just one. */
function devicesAt({ devices }: Recipe, visit: number): readonly Device[] {
  if (devices === undefined) return [];
  return devices.pairing === 'same-swings' ? devices.list : [devices.list[visit % devices.list.length]!];
}

/** Depends on the progress that was seen: the last visit so far against the first. */
function chanceOfLeaving(recipe: Recipe, visits: readonly { swings: readonly SwingRecord[] }[]): number {
  const { share, metric, perUnit } = recipe.dropout;
  if (share === 0) return 0;
  const [first, last] = [visits[0], visits.at(-1)].map((visit) => visitMean(visit?.swings ?? [], metric));
  const change = first == null || last == null ? 0 : last - first;
  return 1 / (1 + Math.exp(-(Math.log(share / (1 - share)) + perUnit * change)));
}
