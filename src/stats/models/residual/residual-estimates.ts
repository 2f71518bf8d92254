import { normalUpperQuantile } from '../../../numerics/index.ts';
import type { ResidualParameterEstimate } from '../contract.ts';
import type { ResidualParameter, ResidualStructure } from './residual-structure.ts';
import type { ResidualOptimum } from './search-residual.ts';

/** Beyond these the variables stand for a ratio of e^12, or a correlation of 0.99999. */
const EXTREME_LOG_RATIO = 12;
const EXTREME_Z = 6;

const nameOf = (parameter: ResidualParameter): string => {
  if (parameter.kind === 'ratio') return `SD ${parameter.level} / ${parameter.reference}`;
  return parameter.kind;
};

/**
 * The residual parameters as they are reported: ratios of SDs, the power, the autocorrelation. Intervals are normal
 * on the scale of the search (logarithm, none, Fisher's z) and carried back; standard errors are carried by the slope.
 */
export function residualEstimates(
  { parameters }: ResidualStructure,
  { variables, covariance }: ResidualOptimum,
  level: number,
): {
  readonly parameters: readonly ResidualParameterEstimate[];
  readonly ratios: Readonly<Record<string, number>> | null;
} {
  const k = parameters.length;
  const ratios: Record<string, number> = {};
  const estimates = parameters.map((parameter, i): ResidualParameterEstimate => {
    const variable = variables[i]!;
    const error = covariance ? Math.sqrt(covariance[i * k + i]!) : null;
    const back = (value: number): number => {
      if (parameter.kind === 'ratio') return Math.exp(value);
      return parameter.kind === 'power' ? value / parameter.spread : Math.tanh(value);
    };
    const estimate = back(variable);
    const slope =
      parameter.kind === 'ratio'
        ? estimate
        : parameter.kind === 'power'
          ? 1 / parameter.spread
          : 1 - estimate * estimate;
    if (parameter.kind === 'ratio') ratios[parameter.level] = estimate;
    const half = error === null ? null : error * normalUpperQuantile((1 - level) / 2);
    return {
      parameter: nameOf(parameter),
      estimate,
      standardError: error === null ? null : error * slope,
      interval: half === null ? null : [back(variable - half), back(variable + half)],
    };
  });
  return { parameters: estimates, ratios: Object.keys(ratios).length > 0 ? ratios : null };
}

/** In words, residual parameters that have run to the edge of what they can be. */
export function boundaryOfResiduals(
  { parameters }: ResidualStructure,
  { variables }: ResidualOptimum,
): string[] {
  return parameters.flatMap((parameter, i): string[] => {
    const value = variables[i]!;
    if (parameter.kind === 'ratio' && Math.abs(value) > EXTREME_LOG_RATIO)
      return [
        `The residual SD of ${value > 0 ? parameter.reference : parameter.level} is estimated as next to nothing against that of ${value > 0 ? parameter.level : parameter.reference}: the other effects reproduce its rows.`,
      ];
    if (parameter.kind === 'autocorrelation' && Math.abs(value) > EXTREME_Z)
      return [
        `The autocorrelation is estimated at its limit (${value > 0 ? 'plus' : 'minus'} 1): the data do not tell it from a random effect of the group.`,
      ];
    return [];
  });
}
