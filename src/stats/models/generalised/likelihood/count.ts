import type { Likelihood } from './likelihood.ts';
import { logFactorial } from './log-factorial.ts';

/** Counts with log(mean) = eta and the variance of Poisson's distribution. */
export function countLikelihood(counts: Float64Array): Likelihood {
  const rows = counts.length;
  let constant = 0;
  for (let i = 0; i < rows; i++) constant -= logFactorial(counts[i]!);
  return {
    rows,
    constant,
    thresholds: null,
    evaluate(eta, { value, score, weight, bend }) {
      for (let i = 0; i < rows; i++) {
        const mean = Math.exp(eta[i]!);
        value[i] = counts[i]! * eta[i]! - mean;
        score[i] = counts[i]! - mean;
        weight[i] = mean;
        bend[i] = mean;
      }
    },
  };
}
