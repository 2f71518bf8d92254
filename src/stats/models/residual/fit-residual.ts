import type { Fit, FitOutcome, FitResult, ModelProblem } from '../contract.ts';
import type { Design } from '../design/design.ts';
import { fitDesign } from '../linear/fit-design.ts';
import { rememberState, stateOf } from '../linear/fitted-design.ts';
import { findOptimum } from '../linear/optimum.ts';
import { profiledDeviance } from '../linear/profiled-deviance.ts';
import { fittedValues } from './fitted-values.ts';
import { readResidualStructure } from './read-structure.ts';
import { boundaryOfResiduals, residualEstimates } from './residual-estimates.ts';
import type { ResidualStructure } from './residual-structure.ts';
import { type ResidualOptimum, searchResidual } from './search-residual.ts';

/** Rounds in which the fitted values behind a power of them are renewed. */
const ROUNDS = 100;

/**
 * Fits a normal model, with or without random terms, whose residual variance differs by a factor's levels or with
 * the fitted value, or whose residuals hang together along an order, or both (residual-structure.ts says exactly
 * what each means). REML or ML; the fit is that of the whitened rows, and Satterthwaite's degrees of freedom take
 * the estimation of the residual parameters into account (Giesbrecht and Burns 1985, Biometrics 41, 477-486; Fai and
 * Cornelius 1996, J Statistical Computation and Simulation 54, 363-378).
 */
export function fitResidualStructure(design: Design, predict: boolean): FitOutcome {
  const read = readResidualStructure(design);
  if (!('parameters' in read)) return { ok: false, problems: read };
  const variance = design.model.residual?.variance ?? 'constant';
  const powered = variance !== 'constant' && 'power' in variance;
  const found = powered ? searchPower(design, read) : searchOnce(design, read);
  if (!('optimum' in found)) return { ok: false, problems: found };
  const { optimum, structure, meanLogFitted, settled } = found;
  const outcome = fitDesign(optimum.design, predict, optimum.parameters);
  if (!outcome.ok) return outcome;
  const { fit } = outcome;
  const plain = fit.result;
  const level = design.model.inference?.level ?? 0.95;
  const converged = plain.diagnosis.converged && optimum.converged && settled;
  const notes = [...plain.diagnosis.notes];
  if (!converged && plain.diagnosis.converged)
    notes.push(
      'The search for the residual parameters stopped before it was settled: do not use these numbers.',
    );
  const estimates = residualEstimates(structure, optimum, level);
  const power = estimates.parameters.find(({ parameter }) => parameter === 'power');
  const result: FitResult = {
    ...plain,
    residualSd: plain.residualSd * (power ? Math.exp(-power.estimate * meanLogFitted) : 1),
    ...(estimates.ratios ? { residualSdRatio: estimates.ratios } : {}),
    residualParameters: estimates.parameters,
    diagnosis: {
      converged,
      gradientNorm: Math.max(plain.diagnosis.gradientNorm, optimum.gradientNorm),
      boundary: [...plain.diagnosis.boundary, ...boundaryOfResiduals(structure, optimum)],
      notes,
    },
  };
  const whole: Fit = { ...fit, result };
  rememberState(whole, stateOf(fit)!);
  return { ok: true, fit: whole };
}

interface Found {
  readonly optimum: ResidualOptimum;
  readonly structure: ResidualStructure;
  /** Mean of log |fitted value|, which `structure.logFitted` lacks. */
  readonly meanLogFitted: number;
  readonly settled: boolean;
}

/** From independent residuals of equal variance and, for a series, also from clearly correlated ones. */
function startsOf({ parameters }: ResidualStructure): Float64Array[] {
  const from = (z: number) =>
    Float64Array.from(parameters, ({ kind }) => (kind === 'autocorrelation' ? z : 0));
  return parameters.some(({ kind }) => kind === 'autocorrelation') ? [from(0.1), from(1)] : [from(0)];
}

function searchOnce(design: Design, structure: ResidualStructure): Found {
  const optimum = searchResidual(design, structure, startsOf(structure));
  return { optimum, structure, meanLogFitted: 0, settled: true };
}

function searchPower(design: Design, base: ResidualStructure): Found | readonly ModelProblem[] {
  const { system, shape } = design.assembled;
  const plain = profiledDeviance(system, shape, design.model.criterion ?? 'reml');
  let fitted = fittedValues(design, design, findOptimum(system, shape, plain).theta);
  let last: { readonly found: Found; readonly natural: Float64Array } | null = null;
  for (let round = 0; ; round++) {
    const structure = withPower(base, fitted);
    if (!('parameters' in structure)) return structure;
    const { spread, logFitted, mean } = structure;
    const parameters: ResidualStructure['parameters'] = [{ kind: 'power', spread }, ...base.parameters];
    const whole: ResidualStructure = { ...base, parameters, logFitted };
    const starts = last
      ? [Float64Array.from(last.natural, (value, i) => (i === 0 ? value * spread : value))]
      : startsOf(whole);
    const optimum = searchResidual(design, whole, starts);
    const natural = optimum.variables.map((value, i) => (i === 0 ? value / spread : value));
    const change: number = last
      ? Math.max(...natural.map((value, i) => Math.abs(value - last!.natural[i]!) / (1 + Math.abs(value))))
      : Number.POSITIVE_INFINITY;
    const settled = change < 1e-10;
    last = { found: { optimum, structure: whole, meanLogFitted: mean, settled }, natural };
    if (settled || round === ROUNDS) return last.found;
    fitted = fittedValues(design, optimum.design, optimum.optimum.theta);
  }
}

/** log |fitted| less its mean, or the problem that the fitted values come near zero or hardly differ. */
function withPower(
  base: ResidualStructure,
  fitted: Float64Array,
):
  | (ResidualStructure & { readonly spread: number; readonly mean: number; readonly logFitted: Float64Array })
  | readonly ModelProblem[] {
  const least = fitted.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY);
  const greatest = fitted.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY);
  const problem = (found: string, expected: string, remedy: string): readonly ModelProblem[] => [
    { kind: 'bad-model', where: '/residual/variance/power', found, expected, remedy },
  ];
  const nearest = Math.min(Math.abs(least), Math.abs(greatest));
  if (least * greatest <= 0 || nearest < 1e-6 * Math.max(Math.abs(least), Math.abs(greatest)))
    return problem(
      `fitted values from ${least} to ${greatest}`,
      'fitted values that are all above zero, or all below, and away from it',
      'Let the variance differ by the levels of a factor instead; a power of zero is zero or infinite.',
    );
  const logs = fitted.map((value) => Math.log(Math.abs(value)));
  const mean = logs.reduce((sum, value) => sum + value, 0) / logs.length;
  const logFitted = logs.map((value) => value - mean);
  const spread = logFitted.reduce((most, value) => Math.max(most, Math.abs(value)), 0);
  if (spread < 1e-6)
    return problem(
      'fitted values that hardly differ',
      'fitted values with a range',
      'Use a constant residual variance.',
    );
  return { ...base, logFitted, mean, spread };
}
