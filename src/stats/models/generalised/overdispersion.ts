import { chiSquaredUpper } from '../../../numerics/index.ts';
import type { FittedGeneralised } from './fitted-generalised.ts';

/** Squared Pearson residuals above this multiple of their degrees of freedom are worth a note. */
const NOTABLE = 1.5;

/**
 * A note where counts (or successes among several trials) vary more than their distribution lets them: Pearson's
 * chi-squared over its degrees of freedom, about 1 where the model holds. Null where there is nothing to say.
 * Source: McCullagh and Nelder (1989), Generalized Linear Models, 2nd ed., section 4.5.
 */
export function overdispersionNote({
  design,
  random,
  coefficients,
  parameters,
}: FittedGeneralised): string | null {
  const { rows, model, observed, trials, named, offset } = design;
  if (model.distribution !== 'count' && !trials?.some((count) => count > 1)) return null;
  let sum = 0;
  for (let i = 0; i < rows; i++) {
    let eta = offset ? offset[i]! : 0;
    if (random) eta = random.eta[i]!;
    else for (let k = 0; k < coefficients.length; k++) eta += coefficients[k]! * named[k * rows + i]!;
    if (trials) {
      const p = 1 / (1 + Math.exp(-eta));
      const variance = trials[i]! * p * (1 - p);
      if (variance > 0) sum += (observed[i]! - trials[i]! * p) ** 2 / variance;
    } else sum += (observed[i]! - Math.exp(eta)) ** 2 / Math.exp(eta);
  }
  const degrees = rows - parameters;
  const ratio = sum / degrees;
  if (!(degrees > 0 && ratio > NOTABLE && chiSquaredUpper(sum, degrees) < 0.01)) return null;
  return `${model.outcome} varies ${ratio.toPrecision(3)} times as much around the fitted values as ${trials ? 'independent trials' : 'counts of independent events'} would, so the standard errors are too small; give each row an effect of its own (a random intercept for a column that numbers the rows).`;
}
