import { type Stream, solveUpper, solveUpperTransposed } from '../../../numerics/index.ts';
import type { DegreesOfFreedomMethod } from '../contract.ts';
import type { Design } from '../design/design.ts';
import { estimateOf } from '../inference/estimate.ts';
import { bilinear, type Inference } from '../inference/inference.ts';
import { kenwardRoger } from '../inference/kenward-roger.ts';
import { satterthwaite } from '../inference/satterthwaite.ts';
import { fixedDegreesOfFreedom } from '../inference/wald-test.ts';
import { isCrossed } from '../linear/crossed/crossed-system.ts';
import { ENOUGH, findOptimum, type Optimum, type SearchOptions } from '../linear/optimum.ts';
import { profiledDeviance } from '../linear/profiled-deviance.ts';
import { varianceInformation } from '../linear/variance-information.ts';
import { prepareRows } from './draw-rows.ts';
import { prepareSums } from './draw-sums.ts';
import { type OutcomeFrame, quantitiesOf, writeEstimates } from './quantities.ts';
import { prepareReweighing } from './reweigh-groups.ts';
import type { InnerTruth } from './truth.ts';

/** What a refit gives: plain numbers, its own from the moment it is returned. */
export interface Refit {
  /** The estimates in the order of the prepared model's `quantities`; NaN where the fit failed. */
  readonly values: Float64Array;
  readonly logLikelihood: number;
  readonly converged: boolean;
  /** A variance is zero or a correlation at plus or minus one. */
  readonly singular: boolean;
}

/** Standard error, degrees of freedom (NaN for normal), p-value of every fixed effect: three numbers each. */
export const PER_EFFECT = 3;

export interface Refitter {
  readonly design: Design;
  readonly count: number;
  /** The optimum of the data's own outcome. */
  readonly optimum: () => InnerTruth & { readonly values: Float64Array };
  refitRows(outcome: Float64Array): Refit;
  /** Draws an outcome from the truth and fits it. */
  refitDraw(stream: Stream, truth: InnerTruth): Refit;
  /** Fits as many groups of the coarsest factor as there are, drawn with replacement. */
  refitGroups(stream: Stream): Refit;
  /** Writes PER_EFFECT numbers for each fixed effect of the last refit. */
  writeTests(method: DegreesOfFreedomMethod, level: number, out: Float64Array, to: number): void;
}

/** The machine that refits a design; it owns the design's cross products and overwrites their outcome. */
export function createRefitter(design: Design): Refitter {
  const { assembled, rows, columns, model } = design;
  const { system, shape } = assembled;
  const criterion = model.criterion ?? 'reml';
  const p = design.fixedNames.length;
  const deviance = profiledDeviance(system, shape, criterion);
  const count = quantitiesOf(design).length;
  const factors = system.stages.map(({ effects }) => new Float64Array(effects * effects));
  const stageEffects = system.stages.map(({ effects }) => effects);
  const own: OutcomeFrame = { start: design.start, scale: design.outcomeScale };
  let logUpper = 0;
  for (let a = 0; a < p; a++) logUpper += Math.log(Math.abs(design.upper[a * p + a]!));

  const whole = Float64Array.from(system.corner);
  /** Whose sums the system holds. */
  let holds: 'own outcome' | 'another outcome' | 'drawn groups' = 'own outcome';
  const hold = (what: typeof holds): void => {
    if (holds === 'drawn groups' && what !== holds) system.corner.set(whole);
    if (what !== 'another outcome' && holds !== what) assembled.fillOutcome(columns.outcome);
    holds = what;
  };
  let last: { optimum: Optimum; frame: OutcomeFrame } | null = null;
  const failed = (): Refit => ({
    values: new Float64Array(count).fill(Number.NaN),
    logLikelihood: Number.NaN,
    converged: false,
    singular: false,
  });
  const solve = (frame: OutcomeFrame, search: SearchOptions = {}): Refit => {
    last = null;
    if (search.start && !Number.isFinite(deviance.evaluate(search.start).value)) return failed();
    const optimum = findOptimum(system, shape, deviance, search);
    if (!optimum.converged) return failed();
    last = { optimum, frame };
    const values = new Float64Array(count);
    writeEstimates(design, frame, optimum, deviance.degrees, values, 0);
    const value =
      optimum.evaluation.value +
      2 * deviance.degrees * Math.log(frame.scale) +
      (criterion === 'reml' ? 2 * logUpper : 0) -
      design.logWeights;
    return {
      values,
      logLikelihood: -value / 2,
      converged: true,
      singular: optimum.free.length < optimum.theta.length,
    };
  };

  let known: (InnerTruth & { values: Float64Array }) | null = null;
  const optimum = () => {
    if (known) return known;
    hold('own outcome');
    deviance.refresh();
    const { values, converged } = solve(own);
    if (!converged || !last) throw new Error('refit: the model does not converge on the data themselves');
    known = {
      theta: Float64Array.from(last.optimum.theta),
      residualSd: values[count - 1]!,
      fixed: values.slice(0, p),
      values,
    };
    return known;
  };
  let drawSums: ((stream: Stream, factors: readonly Float64Array[]) => void) | null = null;
  let reweigh: ReturnType<typeof prepareReweighing> | null = null;
  return {
    design,
    count,
    optimum,
    refitRows(outcome) {
      hold('another outcome');
      const frame = design.frameOutcome(outcome);
      deviance.refresh();
      return frame ? solve(frame) : failed();
    },
    refitDraw(stream, truth) {
      hold('another outcome');
      drawSums ??= isCrossed(system) ? prepareRows(design) : prepareSums(system);
      shape.fillFactors(truth.theta, factors, stageEffects);
      drawSums(stream, factors);
      deviance.refresh();
      return solve({ start: truth.fixed, scale: truth.residualSd }, near(truth.theta));
    },
    refitGroups(stream) {
      const { theta } = optimum();
      reweigh ??= prepareReweighing(design);
      hold('drawn groups');
      const drawn = reweigh(stream);
      if (!drawn) {
        last = null;
        return failed();
      }
      deviance.refresh(drawn.counts, drawn.rows);
      return solve(own, near(theta));
    },
    writeTests(method, level, out, to) {
      if (!last) {
        out.fill(Number.NaN, to, to + PER_EFFECT * p);
        return;
      }
      const residualSd = last.frame.scale * Math.sqrt(last.optimum.evaluation.residualSum / deviance.degrees);
      const inference = inferenceOf(method, last.optimum);
      const named = new Float64Array(p);
      const { beta } = last.optimum.evaluation;
      for (let a = 0; a < p; a++) named[a] = beta[a]!;
      solveUpper(design.upper, p, named);
      const contrast = new Float64Array(p);
      for (let a = 0, at = to; a < p; a++) {
        contrast.fill(0);
        contrast[a] = 1;
        solveUpperTransposed(design.upper, p, contrast);
        const standardError = Math.sqrt(bilinear(contrast, inference.covariance, contrast)) * residualSd;
        const degrees = inference.degreesOfFreedom(contrast);
        const estimate = last.frame.start[a]! + last.frame.scale * named[a]!;
        out[at++] = standardError;
        out[at++] = degrees ?? Number.NaN;
        out[at++] = estimateOf(estimate, standardError, degrees, level).pValue;
      }
    },
  };

  function inferenceOf(method: DegreesOfFreedomMethod, optimum: Optimum): Inference {
    const phi = optimum.evaluation.inverseInformation;
    const plain = fixedDegreesOfFreedom(phi, method === 'normal' ? null : rows - p);
    if (optimum.theta.length === 0) return plain;
    if (method === 'satterthwaite') return satterthwaite(optimum, shape, deviance, null) ?? plain;
    if (method !== 'kenward-roger') return plain;
    return kenwardRoger(phi, p, varianceInformation(optimum.evaluation, shape, optimum.theta, rows)) ?? plain;
  }
}

/** A search from a known theta, with no variance at zero: from there it would not leave it. */
function near(theta: Float64Array): SearchOptions {
  return { start: theta.map((value) => (value === 0 ? 0.05 : value)), enough: ENOUGH };
}
