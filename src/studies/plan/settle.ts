import type { Dataset, InputFile, Plan } from '../../dataset/index.ts';
import { isMetricColumn } from '../../kinematics/index.ts';
import { componentColumns, type Recipe, trialComponents } from '../../synthetic/index.ts';
import type { SmallestChange } from '../finding.ts';
import { smallestChange } from '../shared/smallest-change.ts';
import { DEFAULT_METRIC, type StudyMetric, studyMetric } from '../shared/study-metric.ts';
import { list } from '../shared/words.ts';
import type { StudyProblem } from '../study.ts';
import { FEWEST_GOLFERS, MOST_GOLFERS } from './find-size.ts';
import { pilotSpread } from './pilot.ts';
import type { Analysis, DesignPoint, PlannedKind, Spread } from './planned-design.ts';

/** What a plan's size is worked out from. Exactly one of `recipe` and `dataset` says how values spread. */
export interface PlanInput {
  readonly recipe?: Recipe;
  readonly dataset?: Dataset;
  readonly plan?: Plan;
  /** The file the plan was read from, for the provenance. */
  readonly planFile?: InputFile;
  /** How this was typed, for the page: words after `npm run --silent cli --`. */
  readonly command?: readonly string[];
  readonly metric?: string;
  readonly design?: PlannedKind;
  /** The true effect that is assumed, in the unit of the metric, with its sign; the recipe's where left out. */
  readonly effect?: number;
  /** The smallest change that matters where no plan states one. */
  readonly change?: number;
  /** SD of golfers' own changes, where the data cannot tell. */
  readonly changeSd?: number;
  /** Golfers in all, when it is settled and only the chance is asked for. */
  readonly golfers?: number;
  readonly sessions?: number;
  readonly swings?: number;
  /** Share of golfers who leave before the end. */
  readonly leaving?: number;
  /** The wished chance of the right verdict; 0.8 unless given. */
  readonly chance?: number;
  readonly draws?: number;
  readonly seed?: number;
  readonly workers?: number;
}

/** Everything settled: what is not given is the plan's, the recipe's, or a stated default. */
export interface Settled {
  readonly metric: StudyMetric;
  readonly smallest: SmallestChange;
  readonly smallestCautions: readonly string[];
  /** With its sign. */
  readonly effect: number;
  readonly effectFrom: string;
  readonly direction: 1 | -1;
  readonly spread: Spread;
  readonly spreadWords: string;
  readonly cautions: readonly string[];
  /** The size as far as it is settled; `golfers` is null where it is asked for. */
  readonly point: Omit<DesignPoint, 'golfers'>;
  readonly golfers: number | null;
  readonly analysis: Analysis;
  readonly chance: number;
  readonly draws: number;
  readonly seed: number;
  readonly workers: number;
}

export type SettleOutcome =
  | { readonly ok: true; readonly settled: Settled }
  | { readonly ok: false; readonly problems: readonly StudyProblem[] };

/** Settles what is to be simulated, or says all that stands against it. */
export function settle(input: PlanInput): SettleOutcome {
  const { plan = null } = input;
  const problems = rangeProblems(input);
  const chosen = input.metric ?? plan?.metric.column ?? DEFAULT_METRIC;
  if (!isMetricColumn(chosen))
    return refuse([
      ...problems,
      problem('the metric', `'${chosen}'`, 'a metric column', 'Name one with --metric, or in the plan.'),
    ]);
  const metric = studyMetric(chosen, chosen === plan?.metric.column ? plan.goodDirection : undefined);
  const source = sourceOf(input, metric);
  if ('problems' in source) return refuse([...problems, ...source.problems]);
  const kind = kindOf(input);
  if (typeof kind !== 'string') return refuse([...problems, kind]);
  const effect = input.effect ?? source.effect;
  if (effect === null || effect === 0)
    problems.push(
      problem(
        '--effect',
        effect === null ? 'no assumed effect' : 'an assumed effect of nothing',
        `how far the drill is thought to move ${metric.label}, in ${metric.unit}, with its sign`,
        'Give the effect you would be glad to find and can argue for; a study is planned for one that is there.',
      ),
    );
  if (problems.length > 0) return refuse(problems);
  const rule = plan?.stoppingRule;
  const sessions = input.sessions ?? rule?.sessionsPerPhase ?? 1;
  const swings = input.swings ?? rule?.swingsPerSession ?? source.swings;
  const { spread } = source;
  const chosenSmallest = smallestOf(input, metric, spread, sessions, swings);
  if (chosenSmallest.smallest === null)
    return refuse([
      problem(
        'the smallest change that matters',
        'none',
        'one in the plan, or with --change',
        'State what would be worth coaching for.',
      ),
    ]);
  const direction = metric.goodDirection === 0 ? (Math.sign(effect!) as 1 | -1) : metric.goodDirection;
  return {
    ok: true,
    settled: {
      metric,
      smallest: chosenSmallest.smallest,
      smallestCautions: chosenSmallest.cautions,
      effect: effect!,
      effectFrom: input.effect === undefined ? 'from the recipe' : 'as given',
      direction,
      spread,
      spreadWords: source.words,
      cautions: source.cautions,
      point: {
        kind,
        sessions,
        swings,
        controlShare: source.controlShare,
        leaving: input.leaving ?? source.leaving,
      },
      golfers: input.golfers ?? rule?.golfers ?? null,
      analysis: {
        level: plan?.level ?? 0.95,
        degreesOfFreedom: plan?.model?.degreesOfFreedom ?? 'kenward-roger',
      },
      chance: input.chance ?? 0.8,
      draws: input.draws ?? 1000,
      seed: input.seed ?? plan?.seed ?? 1,
      workers: input.workers ?? 1,
    },
  };
}

interface SpreadSource {
  readonly spread: Spread;
  readonly effect: number | null;
  readonly swings: number;
  readonly controlShare: number;
  readonly leaving: number;
  readonly words: string;
  readonly cautions: readonly string[];
}

function sourceOf(
  { recipe, dataset, plan, changeSd }: PlanInput,
  metric: StudyMetric,
): SpreadSource | { readonly problems: readonly StudyProblem[] } {
  if ((recipe === undefined) === (dataset === undefined))
    return {
      problems: [
        problem(
          '--recipe, --data',
          recipe === undefined ? 'neither' : 'both',
          'one of the two, from which it is known how values spread',
          'Give a recipe (such as drill-parallel-effect) or a dataset with swings like those planned.',
        ),
      ],
    };
  if (dataset !== undefined) {
    const pilot = pilotSpread(dataset, metric.column, plan ?? null);
    if ('problems' in pilot) return pilot;
    return {
      spread: { ...pilot.spread, changeSd: changeSd ?? pilot.spread.changeSd },
      effect: null,
      swings: 10,
      controlShare: 0.5,
      leaving: 0,
      words: pilot.words,
      cautions: pilot.cautions,
    };
  }
  const made = trialComponents(recipe!, metric.column);
  if (made === null)
    return {
      problems: [
        problem(
          'the metric',
          `${metric.column}, whose values in a recipe are not a sum of normal parts`,
          `one of: ${componentColumns(recipe!).join(', ')}`,
          'Name one of these with --metric, or plan from data with --data.',
        ),
      ],
    };
  const { effect, ...spread } = made;
  const { design, dropout, missing, session, name } = recipe!;
  return {
    spread: { ...spread, changeSd: changeSd ?? spread.changeSd },
    effect,
    swings: session.fullSwings,
    controlShare: design.kind === 'parallel' ? design.controlShare : 0.5,
    // Who stays may still miss the last visit.
    leaving: 1 - (1 - dropout.share) * (1 - missing.visitShare),
    words: `SDs from the recipe ${name}, whose numbers are invented.`,
    cautions: [
      'The recipe is invented: how golfers differ, change and vary is assumed in it and not measured. Before a study of your own, measure some of your golfers twice and plan from those data (--data).',
    ],
  };
}

const KINDS: Readonly<Record<string, PlannedKind>> = {
  parallel: 'parallel',
  crossover: 'crossover',
  'before-after': 'before-after',
};

/** The design asked for, the plan's, the recipe's; parallel groups where none says. */
function kindOf({ design, plan, recipe }: PlanInput): PlannedKind | StudyProblem {
  if (design !== undefined) return design;
  const named = plan?.design !== undefined && plan.design !== 'infer' ? plan.design : recipe?.design.kind;
  if (named === undefined) return 'parallel';
  return (
    KINDS[named] ??
    problem(
      'the design',
      named,
      `one that is simulated: ${list(Object.keys(KINDS))}`,
      'Name one with --design, or another recipe.',
    )
  );
}

function smallestOf(
  { plan, change }: PlanInput,
  metric: StudyMetric,
  spread: Spread,
  sessions: number,
  swings: number,
) {
  if (change !== undefined) {
    const { unit, goodDirection } = metric;
    const smallest: SmallestChange = {
      value: change,
      unit,
      from: 'asked',
      why: 'Given with the question.',
      goodDirection,
    };
    return { smallest, cautions: [] };
  }
  const planned = plan?.metric.column === metric.column ? plan.smallestChangeThatMatters : undefined;
  return smallestChange(metric, planned, {
    typicalError: Math.sqrt((spread.sessionSd ** 2 + spread.swingSd ** 2 / swings) / sessions),
    from: 'from the SDs of sessions and swings',
    betweenSd: spread.golferSd,
    atBaseline: true,
  });
}

const RANGES = [
  ['golfers', FEWEST_GOLFERS, MOST_GOLFERS, true],
  ['sessions', 1, 6, true],
  ['swings', 2, 100, true],
  ['leaving', 0, 0.6, false],
  ['chance', 0.5, 0.99, false],
  ['draws', 200, 100_000, true],
  ['workers', 1, 64, true],
  ['change', 0, Number.MAX_VALUE, false],
  ['changeSd', 0, Number.MAX_VALUE, false],
] as const;

function rangeProblems(input: PlanInput): StudyProblem[] {
  return RANGES.flatMap(([name, low, high, whole]) => {
    const value = input[name];
    const fits =
      value === undefined ||
      (value >= low &&
        value <= high &&
        (!whole || Number.isInteger(value)) &&
        (name !== 'change' || value > 0));
    if (fits) return [];
    const range = high === Number.MAX_VALUE ? `above ${low}` : `from ${low} to ${high}`;
    return [
      problem(
        `--${name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)}`,
        String(value),
        `${whole ? 'a whole number' : 'a number'} ${range}`,
        'Correct the value.',
      ),
    ];
  });
}

function problem(where: string, found: string, expected: string, remedy: string): StudyProblem {
  return { where, found, expected, remedy };
}

function refuse(problems: readonly StudyProblem[]): SettleOutcome {
  return { ok: false, problems };
}
