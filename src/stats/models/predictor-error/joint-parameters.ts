import type { Latent } from './conditional-variance.ts';
import type { JointData } from './joint-data.ts';

/** From the variables of the search to what they stand for (in the units of JointData). */
export interface JointParameters extends Latent {
  readonly slopes: Float64Array;
}

/**
 * Variables: the k slopes; log SD of the true predictor inside groups; its SD between groups (where rows share
 * groups); log residual SD; the lower factors of the random effects' covariances, column by column. What varies between
 * groups is in units of the uncertainty of a group's mean, so that every variable is of order one or larger.
 */
export function jointParameters(data: JointData, variables: Float64Array): JointParameters {
  const { terms, grouped, groupRoot, randomTerms, randomCount } = data;
  const k = terms.length;
  let at = k;
  const within = Math.exp(variables[at++]!);
  const between = grouped ? variables[at++]! / groupRoot : 0;
  const residual = Math.exp(variables[at++]!);
  const factor = new Float64Array(randomCount * randomCount);
  let offset = 0;
  for (const { effects, kind } of randomTerms) {
    const q = effects.length;
    for (let column = 0; column < q; column++)
      for (let row = column; row < (kind === 'full' ? q : column + 1); row++)
        factor[(offset + row) * randomCount + offset + column] = variables[at++]! / groupRoot;
    offset += q;
  }
  const covariance = new Float64Array(randomCount * randomCount);
  for (let a = 0; a < randomCount; a++)
    for (let b = 0; b < randomCount; b++)
      for (let c = 0; c <= Math.min(a, b); c++)
        covariance[a * randomCount + b] =
          covariance[a * randomCount + b]! + factor[a * randomCount + c]! * factor[b * randomCount + c]!;
  const slopes = variables.slice(0, k);
  let onDeviation = 0;
  let onMean = 0;
  terms.forEach((term, i) => {
    onDeviation += term.onDeviation * slopes[i]!;
    onMean += term.onMean * slopes[i]!;
  });
  return { slopes, within, between, residual, covariance, onDeviation, onMean };
}

export function countVariables({ terms, grouped, randomTerms }: JointData): number {
  const covariances = randomTerms.reduce((sum, { effects, kind }) => {
    const q = effects.length;
    return sum + (kind === 'full' ? (q * (q + 1)) / 2 : q);
  }, 0);
  return terms.length + (grouped ? 3 : 2) + covariances;
}
