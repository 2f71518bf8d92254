import { isMetricColumn } from '../../kinematics/index.ts';
import type { SmallestChange } from '../finding.ts';
import { askedChange, smallestChange } from '../shared/smallest-change.ts';
import { DEFAULT_METRIC, type StudyMetric, studyMetric } from '../shared/study-metric.ts';
import { list } from '../shared/words.ts';
import type { StudyProblem } from '../study.ts';
import type { PlanInput } from './plan-input.ts';
import { problem } from './plan-problem.ts';
import { rangeProblems } from './plan-ranges.ts';
import type { Analysis, DesignPoint, PlannedKind, Spread } from './planned-design.ts';
import { sourceOf } from './spread-source.ts';

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
  if (change !== undefined) return { smallest: askedChange(metric, change), cautions: [] };
  const planned = plan?.metric.column === metric.column ? plan.smallestChangeThatMatters : undefined;
  return smallestChange(metric, planned, {
    typicalError: Math.sqrt((spread.sessionSd ** 2 + spread.swingSd ** 2 / swings) / sessions),
    from: 'from the SDs of sessions and swings',
    betweenSd: spread.golferSd,
    atBaseline: true,
  });
}

function refuse(problems: readonly StudyProblem[]): SettleOutcome {
  return { ok: false, problems };
}
