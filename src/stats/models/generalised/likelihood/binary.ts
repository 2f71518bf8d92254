import type { Likelihood } from './likelihood.ts';
import { logFactorial } from './log-factorial.ts';

/** Successes among trials, logit(probability) = eta. `trials` null stands for one trial in each row. */
export function binaryLikelihood(successes: Float64Array, trials: Float64Array | null): Likelihood {
  const rows = successes.length;
  let constant = 0;
  if (trials)
    for (let i = 0; i < rows; i++)
      constant +=
        logFactorial(trials[i]!) - logFactorial(successes[i]!) - logFactorial(trials[i]! - successes[i]!);
  return {
    rows,
    constant,
    thresholds: null,
    evaluate(eta, { value, score, weight, bend }) {
      for (let i = 0; i < rows; i++) {
        const x = eta[i]!;
        const y = successes[i]!;
        const n = trials ? trials[i]! : 1;
        const e = Math.exp(x >= 0 ? -x : x);
        const head = 1 / (1 + e);
        const tail = e * head;
        const w = n * tail * head;
        value[i] = (x >= 0 ? y * x - n * x : y * x) - n * Math.log(1 + e);
        // Either form of y - n p is exact where p is near 0 or near 1.
        score[i] = x >= 0 ? y - n + n * tail : y - n * tail;
        weight[i] = w;
        bend[i] = x >= 0 ? w * (tail - head) : w * (head - tail);
      }
    },
  };
}
