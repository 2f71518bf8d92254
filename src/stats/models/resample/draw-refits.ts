import { createStream } from '../../../numerics/index.ts';
import type { DegreesOfFreedomMethod } from '../contract.ts';
import { type PreparedModel, refitterOf } from './prepared-model.ts';
import type { Quantity } from './quantities.ts';
import { PER_EFFECT, type Refitter } from './refitter.ts';
import { type InnerTruth, innerTruth, type Truth } from './truth.ts';

/** What is drawn and fitted again and again. */
export interface DrawTask {
  /**
   * `outcomes`: outcomes drawn from the model with the estimates of the data (or from `truth`) as its numbers;
   * `groups`: whole groups of the coarsest factor, drawn with replacement.
   */
  readonly of: 'outcomes' | 'groups';
  readonly truth?: Truth;
  readonly draws: number;
  /** Draw k depends on the seed and k alone. */
  readonly seed: number;
  /** Test every fixed effect in every draw by this method. */
  readonly tests?: DegreesOfFreedomMethod;
}

/** Standard error, degrees of freedom and p-value of one fixed effect in each draw. */
export interface EffectDraws {
  readonly standardError: Float64Array;
  /** NaN where the method is normal. */
  readonly degreesOfFreedom: Float64Array;
  readonly pValue: Float64Array;
}

/** Refits to drawn data, flat arrays row by row, from which intervals and tests are made. */
export interface Draws {
  readonly task: DrawTask;
  readonly quantities: readonly Quantity[];
  /** What was drawn from: the truth given or the estimates of the data, in the order of `quantities`. */
  readonly centre: Float64Array;
  /** Draws x quantities; a row of NaN where the fit failed. */
  readonly values: Float64Array;
  readonly logLikelihood: Float64Array;
  /** Draws whose fit did not converge. They count as failures, never as if they had not been drawn. */
  readonly failed: readonly number[];
  /** How many of the fits that converged have a variance of zero or a correlation at plus or minus one. */
  readonly singular: number;
  /** Of each fixed effect, when the task asks for tests; NaN where the fit failed. */
  readonly tests: readonly EffectDraws[];
}

/**
 * Draws and refits in this thread; `drawRefitsOnWorkers` gives the same numbers from several.
 * Throws when the truth does not fit the model, when the model does not converge on its own data, or when groups cannot
 * be drawn.
 *
 * @example
 * const outcome = prepareModel({ outcome: 'y', fixed: ['intercept'] }, { y: [1, 2, 6] });
 * drawRefits(outcome.prepared, { of: 'outcomes', draws: 1000, seed: 7 }).values.length // 2000: a mean and an SD for each draw
 */
export function drawRefits(prepared: PreparedModel, task: DrawTask): Draws {
  return gatherDraws(prepared, task, [drawRange(prepared, task, 0, task.draws)]);
}

/** The draws from..to-1 as rows of plain numbers: values, log likelihood, singular (0 or 1), tests. */
export function drawRange(prepared: PreparedModel, task: DrawTask, from: number, to: number): Float64Array {
  checkTask(prepared, task);
  const refitter = refitterOf(prepared);
  const width = widthOf(refitter, task);
  const level = prepared.model.inference?.level ?? 0.95;
  const out = new Float64Array((to - from) * width);
  const truth = task.of === 'outcomes' ? truthOf(refitter, task) : null;
  for (let k = from, at = 0; k < to; k++, at += width) {
    const stream = createStream(task.seed, k);
    const refit = truth ? refitter.refitDraw(stream, truth) : refitter.refitGroups(stream);
    out.set(refit.values, at);
    out[at + refitter.count] = refit.logLikelihood;
    out[at + refitter.count + 1] = refit.singular ? 1 : 0;
    if (task.tests) refitter.writeTests(task.tests, level, out, at + refitter.count + 2);
  }
  return out;
}

/** Puts ranges of draws, in order, together. */
export function gatherDraws(prepared: PreparedModel, task: DrawTask, ranges: readonly Float64Array[]): Draws {
  const refitter = refitterOf(prepared);
  const { count } = refitter;
  const width = widthOf(refitter, task);
  const { draws } = task;
  const values = new Float64Array(draws * count);
  const logLikelihood = new Float64Array(draws);
  const tests = (task.tests ? refitter.design.fixedNames : []).map(() => ({
    standardError: new Float64Array(draws),
    degreesOfFreedom: new Float64Array(draws),
    pValue: new Float64Array(draws),
  }));
  const failed: number[] = [];
  let singular = 0;
  let k = 0;
  for (const rows of ranges)
    for (let at = 0; at < rows.length; at += width, k++) {
      values.set(rows.subarray(at, at + count), k * count);
      logLikelihood[k] = rows[at + count]!;
      if (Number.isNaN(rows[at + count]!)) failed.push(k);
      singular += rows[at + count + 1]!;
      tests.forEach((test, a) => {
        const from = at + count + 2 + a * PER_EFFECT;
        test.standardError[k] = rows[from]!;
        test.degreesOfFreedom[k] = rows[from + 1]!;
        test.pValue[k] = rows[from + 2]!;
      });
    }
  return {
    task,
    quantities: prepared.quantities,
    centre: centreOf(refitter, task),
    values,
    logLikelihood,
    failed,
    singular,
    tests,
  };
}

function widthOf({ count, design }: Refitter, { tests }: DrawTask): number {
  return count + 2 + (tests ? PER_EFFECT * design.fixedNames.length : 0);
}

function truthOf(refitter: Refitter, { truth }: DrawTask): InnerTruth {
  return truth ? innerTruth(refitter.design, truth) : refitter.optimum();
}

function centreOf(refitter: Refitter, { truth }: DrawTask): Float64Array {
  if (!truth) return refitter.optimum().values;
  const { design, count } = refitter;
  const centre = [...innerTruth(design, truth).fixed];
  design.terms.forEach(({ effects, kind }, t) => {
    const { sd, correlation } = truth.random[t]!;
    centre.push(...sd);
    if (kind === 'full')
      effects.forEach((_, a) => {
        for (let b = 0; b < a; b++) centre.push(correlation?.[a]?.[b] ?? 0);
      });
  });
  return Float64Array.from({ length: count }, (_, i) => (i < count - 1 ? centre[i]! : truth.residualSd));
}

function checkTask(prepared: PreparedModel, { of, truth, draws, tests }: DrawTask): void {
  if (!Number.isSafeInteger(draws) || draws < 1)
    throw new Error(`drawRefits: ask for a whole number of draws above zero; found ${draws}`);
  if (of === 'groups' && truth)
    throw new Error('drawRefits: groups are drawn from the data, not from a truth');
  if (!prepared.observed && !truth)
    throw new Error(`drawRefits: the data have no ${prepared.model.outcome}; give a truth to draw from`);
  if (tests === 'kenward-roger' && prepared.model.criterion === 'ml')
    throw new Error('drawRefits: kenward-roger is derived for the criterion reml');
}
