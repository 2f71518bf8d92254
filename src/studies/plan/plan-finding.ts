import { canonicalJson, type InputFile, sha256Hex } from '../../dataset/index.ts';
import { smallSampleWords } from '../drill-trial/analysis/no-analysis.ts';
import type { Finding, Verdict } from '../finding.ts';
import { PACKAGE } from '../package-version.ts';
import type { PlanTables } from '../plan-tables.ts';
import { metricOfFinding } from '../shared/study-metric.ts';
import { amount, capitalised, count, percent } from '../shared/words.ts';
import type { StudyOutcome } from '../study.ts';
import { answerOf, outcomeOf, type PlanOutcome, sizeWords, visitWords } from './answer-words.ts';
import { listEstimates } from './estimates.ts';
import type { PlanInput } from './plan-input.ts';
import { drawableDesign, type PlannedKind } from './planned-design.ts';
import { cautionsOf, checksOf, nextOf, plannedWords } from './remarks.ts';
import { type Settled, settle } from './settle.ts';
import { type Sizes, sizeStudy } from './size-study.ts';

/**
 * How many golfers and swings? By simulation with the very model the drill trial will use: how large a study must be so
 * that, if the effect is as assumed, its verdict is `meaningful` with the wished chance; what a study of that size says
 * when there is no effect; and the smallest effect it can tell. How values spread comes from a recipe or from data.
 *
 * The finding's verdict is `meaningful` where some size will do, else `cannot-tell`. A request that makes no sense
 * gives problems in words.
 *
 * @param input a checked recipe or a dataset; every other part has a stated default
 * @param progress told what is being simulated
 * @example
 * // At least 200 draws; 1,000 where none are given
 * const outcome = await planFinding({ recipe, metric: 'shaft_lean_impact_deg', change: 1, golfers: 40, draws: 200 });
 * outcome.ok && outcome.finding.study // 'plan'
 */
export async function planFinding(
  input: PlanInput,
  progress: (step: string) => void = () => undefined,
): Promise<StudyOutcome<PlanTables>> {
  const made = settle(input);
  if (!made.ok) return made;
  const { settled } = made;
  return { ok: true, finding: writeFinding(input, settled, await sizeStudy(settled, progress)) };
}

const VERDICTS: Readonly<Record<PlanOutcome, Verdict>> = {
  'wrong-way': 'cannot-tell',
  'effect-too-small': 'cannot-tell',
  'beyond-reach': 'cannot-tell',
  'golfers-found': 'meaningful',
  'golfers-enough': 'meaningful',
  'golfers-too-few': 'cannot-tell',
};

function writeFinding(input: PlanInput, settled: Settled, sizes: Sizes): Finding<PlanTables> {
  const { metric, smallest, point, spread, analysis, effect, chance, draws, seed } = settled;
  const { chosen } = sizes;
  const { golfers, sessions, swings } = chosen.point;
  const visits = point.kind === 'after-only' ? 1 : 2;
  const control = point.kind === 'parallel' || point.kind === 'after-only';
  const controls = control ? Math.round(golfers * point.controlShare) : 0;
  const arm = (name: string, role: 'drill' | 'control', size: number) => ({
    arm: name,
    role,
    golfers: size,
    sessions: size * visits * sessions,
    swings: size * visits * sessions * swings,
  });
  return {
    study: 'plan',
    question: `How many golfers and swings does it take to tell whether the drill changes ${metric.label}?`,
    answer: answerOf(settled, sizes),
    verdict: VERDICTS[outcomeOf(settled, sizes)],
    estimates: listEstimates(settled, sizes),
    smallestChange: smallest,
    metric: metricOfFinding(metric),
    design: {
      kind: point.kind,
      words: `Planned, not yet done: ${KIND_WORDS[point.kind]}, ${sizeWords(golfers, settled)}, with ${visitWords(point.kind, sessions, swings)}: ${count(golfers * visits * sessions * swings, 'full swing')} in ${count(golfers * visits * sessions, 'session')} if nobody leaves.`,
      golfers,
      sessions: golfers * visits * sessions,
      swings: golfers * visits * sessions * swings,
      arms: [
        arm('drill', 'drill', golfers - controls),
        ...(control ? [arm('control', 'control', controls)] : []),
      ],
    },
    leftOut: [],
    model: {
      words: modelWords(settled),
      objects: [drawableDesign(chosen.point, spread, analysis).model],
    },
    checks: checksOf(settled, sizes),
    sensitivity: [],
    cautions: cautionsOf(settled, sizes),
    planned: plannedWords(input, settled),
    provenance: {
      package: PACKAGE.name,
      version: PACKAGE.version,
      inputs: inputsOf(input),
      definitions: [{ metric: metric.column, version: metric.version }],
      seed,
      date: input.dataset?.newestDate ?? '',
      ...(input.command === undefined ? {} : { command: input.command }),
    },
    tables: { grid: sizes.grid, chance, effect, draws, spread },
    warnings: [],
    next: nextOf(settled, sizes),
  };
}

/** A recipe counts by what is in it, whatever files it was put together from. */
function inputsOf({ recipe, dataset, planFile }: PlanInput): InputFile[] {
  const own =
    recipe === undefined ? [] : [{ file: `recipe ${recipe.name}`, sha256: sha256Hex(canonicalJson(recipe)) }];
  return [...(dataset?.files ?? []), ...own, ...(planFile === undefined ? [] : [planFile])].sort((a, b) =>
    a.file < b.file ? -1 : 1,
  );
}

const KIND_WORDS: Readonly<Record<PlannedKind, string>> = {
  parallel: 'parallel groups with a control',
  crossover: 'a crossover of the drill and usual practice',
  'before-after': 'one group before and after',
  'after-only': 'two groups, measured after the drill only',
};

function modelWords({ metric, spread, spreadWords, analysis, draws, seed, point }: Settled): string {
  const show = (value: number) => amount(value, metric.unit, metric.decimals + 1);
  const method = smallSampleWords(analysis.degreesOfFreedom);
  const day =
    point.sessions > 1
      ? 'sessions are a part of the model'
      : 'with one session in a phase, the day is part of the golfer\u2019s level in it';
  return `${capitalised(spreadWords)} Between golfers ${show(spread.golferSd)}, golfers' own changes ${show(spread.changeSd)}, their responses to the drill ${show(spread.responseSd)}, sessions ${show(spread.sessionSd)}, swings ${show(spread.swingSd)}. For each size, ${draws} studies were drawn (seed ${seed}) and fitted with the main model of the drill trial, restricted maximum likelihood with ${method} degrees of freedom and ${percent(analysis.level, 1)} intervals; ${day}. What a fit needs of the swings are sums, and the sums are drawn by their own exact law instead of swing by swing, which gives the same studies sooner. Studies differ in nothing but chance from one assumed effect to another, so the same draws serve every effect. A fit that fails counts as a study without an answer.`;
}
